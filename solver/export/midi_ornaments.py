"""Ornaments of a MIDI file, taken together again as the notes that carry them.

Only in parts whose brief wants ornaments, and only where the notes are exactly those that the note would be played as:
its neighbour in the scale and back, or the scale's notes into the next one, at the pace of the brief's tempo. The
first added note tells it from written ones: it stands off the grid, or sooner after the note before than those do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from solver.brief.plan import PartPlan, Plan
from solver.export.midi_tracks import RawNote
from solver.export.performing import LIMIT
from solver.export.swing import Swing
from solver.music.ornaments import NONE, RUN, RUN_NOTES, TRILL, between, neighbour
from solver.ornaments import kind_of, step_slots

PACE = 0.3  # share of a quick note by which it may be early or late
AT_START = 0.05  # slots: a note played ahead of the loop is written at its start; and what ticks round off
SOONEST_WRITTEN = 1 - 2 * LIMIT  # slots from one written note to the next at least

Folded = tuple[RawNote, str | None]


def folded(
    plan: Plan, part: PartPlan, notes: Sequence[RawNote], ticks_per_slot: Fraction, swing: Swing | None
) -> list[Folded]:
    """A part's notes, each with the ornament that it carries, in order of time where the part has any."""
    if part.ornaments == NONE or not notes:
        return [(note, None) for note in notes]
    ordered = sorted(notes, key=lambda note: (note.start, note.pitch))
    even = swing.even if swing else float
    times = [float(even(float(note.start / ticks_per_slot))) for note in ordered]
    ordered.append(replace(ordered[0], start=round(plan.slots * ticks_per_slot)))
    reader = _Line(plan, part, ordered, [*times, times[0] + plan.slots])
    found: list[Folded] = []
    index = 0
    while index < len(times):
        last, kind = reader.turns(index) or reader.run(index) or (index, None)
        end = ordered[last + 1].start if kind == RUN else ordered[last].end
        found.append(
            (replace(ordered[index], end=end, hanging=ordered[last].hanging) if kind else ordered[index], kind)
        )
        index = last + 1
    return found


class _Line:
    """A part's notes in order, and after them the first one again; ``times`` are their starts in slots, evened."""

    def __init__(self, plan: Plan, part: PartPlan, notes: Sequence[RawNote], times: Sequence[float]) -> None:
        self.plan, self.part, self.notes, self.times = plan, part, notes, times
        self.step = step_slots(plan)

    def turns(self, index: int) -> tuple[int, str] | None:
        """The last note of a trill or mordent that begins with a note, and which of the two."""
        last = index
        while last + 3 < len(self.notes) and self._turn(index, last):
            last += 2
        return (last, kind_of([self.notes[index].pitch, self.notes[index + 1].pitch])) if last > index else None

    def run(self, index: int) -> tuple[int, str] | None:
        """The last note of a run that a note goes off with, and that it is one."""
        fewest, most = RUN_NOTES
        # The longest first: the way to an added note may be one to go as well.
        for last in range(min(index + most, len(self.notes) - 2), index + fewest - 1, -1):
            way = between(self.notes[index].pitch, self.notes[last + 1].pitch, self._scale(index))
            pitches = tuple(note.pitch for note in self.notes[index + 1 : last + 1])
            paced = all(self._is_quick(at) for at in range(index + 1, last))
            leads = abs(self._gap(last) - self.step) <= max(PACE * self.step, LIMIT + AT_START)
            if pitches == way and paced and leads and (self._off_grid(last) or self._gap(last) < SOONEST_WRITTEN):
                return last, RUN
        return None

    def _turn(self, first: int, at: int) -> bool:
        """Whether the note at ``at`` goes to the first one's neighbour and back."""
        main, other, back = self.notes[first].pitch, self.notes[at + 1].pitch, self.notes[at + 2].pitch
        if main != back or main == other or other != self.notes[first + 1].pitch:
            return False
        way = 1 if kind_of([main, other]) == TRILL else -1
        least = self.step - LIMIT - AT_START
        early = at == first and self.times[at] <= AT_START and least <= self._gap(at) <= self.step
        told = self._off_grid(first + 1) or self._gap(first) < SOONEST_WRITTEN
        paced = (self._is_quick(at) or early) and self._is_quick(at + 1)
        return paced and told and neighbour(main, self._scale(first), way) == other

    def _scale(self, index: int) -> frozenset[int]:
        slot = min(max(round(self.times[index]), 0), self.plan.slots - 1)
        return self.plan.span_at(self.plan.home_slot(self.part, slot)).scale

    def _gap(self, index: int) -> float:
        return self.times[index + 1] - self.times[index]

    def _is_quick(self, index: int) -> bool:
        """Whether a note lasts a quick step up to the next one."""
        return abs(self._gap(index) - self.step) <= PACE * self.step

    def _off_grid(self, index: int) -> bool:
        return abs(self.times[index] - round(self.times[index])) > LIMIT
