"""An arrangement as it is played: when each note starts and ends, and how hard it is struck.

Times are in slots from the loop's start, as real numbers. No note starts more than LIMIT of a slot from its place
(swing apart, which a reader of the file can undo), so that every note is found in its own slot again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from solver.arrangement import Arrangement, Note
from solver.brief.feel import ALTERNATE, UP, Feel
from solver.brief.plan import PartPlan, Plan
from solver.export.lengths import SHORTEST, Stroke, held_until
from solver.export.swing import swing_of
from solver.export.velocity import chance, velocities
from solver.music.ornaments import RUN
from solver.ornaments import shape, step_slots, with_following

LIMIT = 0.22  # of a slot; midi_reading finds a quarter of a slot worth a remark, ticks rounded
FEWEST_STRUMMED = 3  # notes; two are played at once
UPSTROKE = 4  # less velocity than a stroke down
ADDED, RETURNING = 10, 6  # less velocity for an ornament's notes: only the first is struck by the right hand


@dataclass(frozen=True)
class Played:
    """One note as played, of the written note ``note``: ``pitch`` is another one where an ornament adds it.

    ``start`` may lie before the loop's start, ``end`` after its end.
    """

    note: Note
    start: float
    end: float
    velocity: int
    pitch: int


def performed(plan: Plan, arrangement: Arrangement, feel: Feel) -> dict[str, list[Played]]:
    """Every part of the plan as played with a feel, in order of the written notes. Equal input, equal output."""
    struck = velocities(plan, arrangement, feel)
    ends = held_until(plan, arrangement, feel)
    swing = swing_of(feel, plan.metre)
    found: dict[str, list[Played]] = {}
    for part in plan.parts:
        strokes = arrangement.strokes(part.name)
        begun = [_starts(plan, part, stroke, feel) for stroke in strokes]
        even: list[Played] = []
        for stroke, (starts, softer), next_start in zip(strokes, begun, _next_starts(plan, begun), strict=True):
            for note, start in zip(stroke, starts, strict=True):
                end = max(ends[note], start + SHORTEST)
                plain = Played(note, start, end, max(struck[note] - softer, 1), note.pitch)
                even += _decorated(plan, part, plain, arrangement, next_start) if note.ornament else [plain]
        found[part.name] = [replace(one, start=swing.swung(one.start), end=swing.swung(one.end)) for one in even]
    return found


def _next_starts(plan: Plan, begun: Sequence[tuple[list[float], int]]) -> list[float]:
    """When the stroke after each one starts; after the last comes the first, a loop later."""
    firsts = [min(starts) for starts, _ in begun]
    return [*firsts[1:], firsts[0] + plan.slots] if firsts else []


def _decorated(plan: Plan, part: PartPlan, plain: Played, arrangement: Arrangement, next_start: float) -> list[Played]:
    """The notes that a note with an ornament is played as; the plain one where it has no room for it.

    A run counts from the next note, so that it leads into it however that is played.
    """
    following = dict(with_following(plan, arrangement.part(part.name)))[plain.note]
    pieces = shape(plan, part, plain.note, str(plain.note.ornament), following)
    if not pieces:
        return [plain]
    runs = plain.note.ornament == RUN
    base = next_start - plain.note.length if runs else plain.start
    starts = [plain.start, *(base + piece.after for piece in pieces[1:])]
    last = next_start if runs else max(plain.end, starts[-1] + step_slots(plan))
    softer = [0, *(ADDED if piece.added else RETURNING for piece in pieces[1:])]
    return [
        Played(plain.note, start, end, max(plain.velocity - less, 1), piece.pitch)
        for piece, start, end, less in zip(pieces, starts, [*starts[1:], last], softer, strict=True)
    ]


def _starts(plan: Plan, part: PartPlan, stroke: Stroke, feel: Feel) -> tuple[list[float], int]:
    """When the notes of a stroke start, before swing, and how much softer the stroke is for its direction."""
    onset = stroke[0].onset
    slot = 60_000 / plan.tempo * float(plan.metre.quarters_per_bar) / plan.metre.grid  # milliseconds
    late = feel.drag.get(part.role, 0.0) + feel.spread * chance(plan, part.name, "spread", onset)
    base = onset + min(max(late / slot, -LIMIT), LIMIT)
    if len(stroke) < FEWEST_STRUMMED or part.rings or not feel.strum:
        return [base] * len(stroke), 0
    between_beats = onset % plan.metre.grid not in plan.metre.beats
    up = feel.strum_direction == UP or (feel.strum_direction == ALTERNATE and between_beats)
    step = min(feel.strum / slot, (onset + LIMIT - base) / (len(stroke) - 1))
    order: Sequence[int] = range(len(stroke))
    return [base + step * place for place in (order[::-1] if up else order)], UPSTROKE if up else 0
