"""An arrangement as it is heard under a brief: strokes per part, how long they sound, what moves and what meets.

The plain halves of rules and merits read this; it shares nothing with the pitch model.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from solver.arrangement import Arrangement, Note
from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.music.chords import Chord


@dataclass(frozen=True)
class Stroke:
    """What one part starts at one slot. ``end`` is exclusive and counts the ring of a broken chord."""

    part: str
    onset: int
    end: int
    pitches: tuple[int, ...]  # low to high
    places: tuple[tuple[int, int], ...] | None = None  # (string, fret) per pitch, where they are known

    @property
    def top(self) -> int:
        """The highest pitch, which is the one that melodic rules count."""
        return self.pitches[-1]


def strokes_of(plan: Plan, part: PartPlan, arrangement: Arrangement) -> tuple[Stroke, ...]:
    """A part's strokes in order. In a broken chord each note rings until its chord ends: the hand holds the shape."""
    strokes = []
    for notes in arrangement.strokes(part.name):
        onset = notes[0].onset
        end = plan.hold_end(part, onset) if part.rings else max(note.end for note in notes)
        strokes.append(Stroke(part.name, onset, end, tuple(note.pitch for note in notes), _places(notes)))
    return tuple(strokes)


def _places(notes: tuple[Note, ...]) -> tuple[tuple[int, int], ...] | None:
    places = tuple((note.string, note.fret) for note in notes if note.string is not None and note.fret is not None)
    return places if len(places) == len(notes) else None


@dataclass(frozen=True)
class Meeting:
    """Two parts that sound in a bar's first slot."""

    slot: int
    upper: PartPlan
    high: int  # index of the upper part's stroke
    lower: PartPlan
    low: int  # index of the lower part's stroke


def meetings(plan: Plan, times: Mapping[str, list[tuple[int, int]]]) -> Iterator[Meeting]:
    """Every pair with no other part between them in rank, in every bar's first slot; ``times`` gives onset and end of
    each stroke by part name."""
    for slot, sounding in _sounding(plan, times):
        for (upper, high), (lower, low) in pairwise(sounding):
            yield Meeting(slot, upper, high, lower, low)


def above_lowest(plan: Plan, times: Mapping[str, list[tuple[int, int]]]) -> Iterator[Meeting]:
    """The lowest part that sounds in a bar's first slot with each other one; ``times`` as for ``meetings``."""
    for slot, sounding in _sounding(plan, times):
        for upper, high in sounding[:-1]:
            yield Meeting(slot, upper, high, *sounding[-1])


def _sounding(
    plan: Plan, times: Mapping[str, list[tuple[int, int]]]
) -> Iterator[tuple[int, list[tuple[PartPlan, int]]]]:
    """Each bar's first slot, and the strokes that sound in it from high to low, by part and index.

    Of a broken chord whose notes ring the one started last is met.
    """
    grid = plan.metre.grid
    for slot in range(0, plan.slots, grid):
        sounding = []
        for part in plan.by_rank:
            inside = [i for i, (onset, end) in enumerate(times[part.name]) if onset <= slot < end]
            if inside:
                sounding.append((part, inside[-1]))
        yield slot, sounding


@dataclass(frozen=True)
class Heard:
    """A plan and an arrangement, read together."""

    plan: Plan
    arrangement: Arrangement

    @cached_property
    def parts(self) -> dict[str, tuple[Stroke, ...]]:
        """Strokes by part name, every part of the plan being there."""
        return {part.name: strokes_of(self.plan, part, self.arrangement) for part in self.plan.parts}

    @cached_property
    def onsets(self) -> dict[str, tuple[int, ...]]:
        """Onsets by part name."""
        return {name: tuple(stroke.onset for stroke in strokes) for name, strokes in self.parts.items()}

    def of(self, part: PartPlan) -> tuple[Stroke, ...]:
        """The strokes of one part."""
        return self.parts[part.name]

    def moves(self, part: PartPlan) -> Iterator[tuple[Stroke, Stroke]]:
        """Each stroke with the next one; the last leads back to the first, for it is a loop."""
        strokes = self.of(part)
        if len(strokes) > 1:
            yield from zip(strokes, [*strokes[1:], strokes[0]], strict=True)

    def in_span(self, part: PartPlan, span: ChordSpan) -> tuple[Stroke, ...]:
        """The strokes that sound in a chord's time."""
        return tuple(stroke for stroke in self.of(part) if stroke.onset < span.end and stroke.end > span.start)

    def sounding_at(self, part: PartPlan, slot: int) -> tuple[int, ...]:
        """The pitches of one part that sound in a slot, low to high."""
        pitches = {pitch for stroke in self.of(part) if stroke.onset <= slot < stroke.end for pitch in stroke.pitches}
        return tuple(sorted(pitches))

    @cached_property
    def meetings(self) -> tuple[tuple[Meeting, Stroke, Stroke], ...]:
        """Where neighbours sound together on the first beats of bars, with the strokes of the upper and the lower."""
        return self._with_strokes(meetings(self.plan, self._times))

    @cached_property
    def above_lowest(self) -> tuple[tuple[Meeting, Stroke, Stroke], ...]:
        """Where other parts sound together with the lowest one on the first beats of bars, with the strokes."""
        return self._with_strokes(above_lowest(self.plan, self._times))

    @property
    def _times(self) -> dict[str, list[tuple[int, int]]]:
        return {name: [(stroke.onset, stroke.end) for stroke in strokes] for name, strokes in self.parts.items()}

    def _with_strokes(self, met: Iterable[Meeting]) -> tuple[tuple[Meeting, Stroke, Stroke], ...]:
        return tuple((m, self.of(m.upper)[m.high], self.of(m.lower)[m.low]) for m in met)

    @cached_property
    def strong_slots(self) -> tuple[int, ...]:
        """All slots of the loop that are strong beats."""
        grid = self.plan.metre.grid
        return tuple(bar * grid + slot for bar in range(self.plan.bars) for slot in sorted(self.plan.metre.strong))


def judging_chord(plan: Plan, part: PartPlan, slot: int) -> Chord:
    """The chord against which a part's note is judged: in a repeat, the one under the first statement."""
    return plan.span_at(plan.home_slot(part, slot)).chord


def judging_scale(plan: Plan, part: PartPlan, slot: int) -> frozenset[int]:
    """The scale of the chord against which a part's note is judged."""
    return plan.span_at(plan.home_slot(part, slot)).scale
