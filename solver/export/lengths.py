"""How long notes are held when they are played, in slots before swing.

A file that is played must still pass the check. So a muted note keeps sounding into every chord that it is held into,
and where strings that ring on would break a rule, their part keeps its written lengths.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solver.arrangement import Arrangement, Note
from solver.brief.feel import MUTED, RING, TENUTO, WRITTEN, Feel
from solver.brief.plan import PartPlan, Plan

LIFT = 0.2  # of a slot: the finger leaves this long before the part's next note
OVERLAP = 0.2  # of a slot: tenuto holds this far into it
SHORTEST = 0.5  # slots

Stroke = tuple[Note, ...]


def held_until(plan: Plan, arrangement: Arrangement, feel: Feel) -> dict[Note, float]:
    """The end of every note of the plan's parts, in slots."""
    ringing = _ringing(plan, arrangement, feel)
    ends: dict[Note, float] = {}
    for part in plan.parts:
        for stroke, following in _with_next(arrangement.strokes(part.name)):
            for note in stroke:
                ends[note] = ringing.get(note) or _end(plan, part, note, following, feel)
    return ends


def _with_next(strokes: Sequence[Stroke]) -> list[tuple[Stroke, int | None]]:
    """Each stroke with the onset of the next one, None after the last."""
    nexts = [stroke[0].onset for stroke in strokes[1:]]
    return list(zip(strokes, [*nexts, None][: len(strokes)], strict=True))


def _end(plan: Plan, part: PartPlan, note: Note, following: int | None, feel: Feel) -> float:
    """When a note ends. Where the part's next one follows at once the finger has to leave in time.

    A note with an ornament is not muted: it would lose the time that the ornament needs.
    """
    how = feel.lengths.get(part.role, WRITTEN)
    if part.rings or feel.exact:
        return float(note.end)
    if how == MUTED and note.ornament is None:
        return _muted(plan, note)
    if following != note.end:
        return float(note.end)
    return note.end + OVERLAP if how == TENUTO else note.end - LIFT


def _muted(plan: Plan, note: Note) -> float:
    """Half of its length, but into every chord that it is held into: what a chord needs goes on sounding in it."""
    last = plan.span_at(min(note.end, plan.slots) - 1)
    return max(note.onset + note.length / 2, last.start + SHORTEST if last.start > note.onset else 0.0)


def _ringing(plan: Plan, arrangement: Arrangement, feel: Feel) -> dict[Note, float]:
    """Ends of the notes that ring on up to the part's next stroke or the end of the chord, where the rules allow it."""
    found: dict[Note, float] = {}
    for part in plan.parts:
        if feel.lengths.get(part.role) != RING or part.rings:
            continue
        ends = {
            note: max(note.end, min(following or plan.slots, plan.hold_end(part, note.onset)))
            for stroke, following in _with_next(arrangement.strokes(part.name))
            for note in stroke
        }
        if _keeps_rules(plan, arrangement, ends):
            found.update({note: float(end) for note, end in ends.items()})
    return found


def _keeps_rules(plan: Plan, arrangement: Arrangement, ends: dict[Note, int]) -> bool:
    """Whether the arrangement breaks no more rules when these notes last as long."""
    from solver.check import breaches

    longer = Arrangement(
        tuple(replace(note, length=ends.get(note, note.end) - note.onset) for note in arrangement.notes)
    )
    return len(breaches(plan, longer)) <= len(breaches(plan, arrangement))
