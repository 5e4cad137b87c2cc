"""A brief with every default filled in and every time in slots: what the search and the rules work on.

A plan is made by ``solver.brief.planning.plan_from`` and never changes. Slots count from the loop's start.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from solver.avoided import NOTHING, Avoidance
from solver.brief.feel import GRID, Feel
from solver.held import Held
from solver.music.chords import Chord
from solver.music.instruments import Instrument
from solver.music.metre import Metre
from solver.music.ornaments import NONE
from solver.music.scales import Key

SINGLE = "single"
BROKEN = "broken chord"


@dataclass(frozen=True)
class ChordSpan:
    """The time one chord lasts: slots ``start`` to ``end`` (exclusive), within one pass through the chord list."""

    index: int
    start: int
    end: int
    chord: Chord
    scale: frozenset[int]  # pitch classes of the key as this chord alters them
    pass_index: int


@dataclass(frozen=True)
class PartPlan:
    """What one part has to be. Ranges are MIDI numbers (inclusive), ``longest`` is in slots."""

    name: str
    role: str
    instrument: Instrument
    low: int
    high: int
    notes_per_bar: tuple[int, int]
    repeat_every: int | None  # bars a statement lasts; None: no repeat
    vary_notes: tuple[int, int]
    figure: str
    motion: str
    texture: str
    max_leap: int  # semitones between neighbouring notes (of a chord, its top note)
    longest: int  # slots a note may last
    rank: int  # 0 is the highest part
    ornaments: str = NONE  # how many of its long notes are decorated: none, few or many

    @property
    def is_line(self) -> bool:
        """Whether the part plays one pitch at a stroke."""
        return self.texture == SINGLE

    @property
    def rings(self) -> bool:
        """Whether its notes ring on inside the held chord shape (a broken chord)."""
        return self.is_line and self.figure == BROKEN


@dataclass(frozen=True)
class Plan:
    """The whole brief, resolved. ``parts`` stand in the brief's order; ``by_rank`` gives them from high to low."""

    name: str  # the brief's file name without .toml
    title: str
    key: Key
    tempo: float  # quarter notes a minute
    metre: Metre
    bars: int
    spans: tuple[ChordSpan, ...]
    parts: tuple[PartPlan, ...]
    seed: int
    count: int
    weights: dict[str, int] = field(default_factory=dict)  # merit name -> weight in hundredths, `prefer` included
    feel: Feel = GRID  # how it is played; the search knows nothing of it
    held: tuple[Held, ...] = ()  # notes that come out as they are
    notices: tuple[str, ...] = ()  # what was noticed: a lead that does not repeat, lines from files
    excused: frozenset[str] = frozenset()  # names of the rules that held notes break by themselves
    avoid: Avoidance = NOTHING  # references and earlier takes to keep clear of

    @property
    def slots(self) -> int:
        """Slots in the whole loop."""
        return self.bars * self.metre.grid

    @property
    def quarters_per_slot(self) -> Fraction:
        """Length of a slot in quarter notes."""
        return self.metre.quarters_per_bar / self.metre.grid

    @cached_property
    def by_rank(self) -> tuple[PartPlan, ...]:
        """The parts from the highest to the lowest."""
        return tuple(sorted(self.parts, key=lambda part: part.rank))

    @cached_property
    def _span_of_slot(self) -> tuple[ChordSpan, ...]:
        return tuple(span for span in self.spans for _ in range(span.start, span.end))

    def span_at(self, slot: int) -> ChordSpan:
        """The chord span in which a slot lies."""
        return self._span_of_slot[slot]

    def part(self, name: str) -> PartPlan:
        """The part of that name; KeyError where there is none."""
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)

    def with_role(self, role: str) -> tuple[PartPlan, ...]:
        """The parts with a role, from high to low."""
        return tuple(part for part in self.by_rank if part.role == role)

    @cached_property
    def bass(self) -> PartPlan | None:
        """The lowest part with the role low, which carries the harmony; None where there is none."""
        lows = self.with_role("low")
        return lows[-1] if lows else None

    def bar_of(self, slot: int) -> int:
        """Bar of a slot, from 0."""
        return slot // self.metre.grid

    def place(self, slot: int) -> str:
        """Where a slot is, as a musician counts: ``bar 3, beat 2.5``."""
        bar, beat = self.metre.bar_and_beat(slot)
        return f"bar {bar}, beat {beat:g}"

    def home_slot(self, part: PartPlan, slot: int) -> int:
        """The slot of the first statement that a slot of a repeating part repeats; itself without a repeat."""
        if part.repeat_every is None:
            return slot
        return slot % (part.repeat_every * self.metre.grid)

    def hold_end(self, part: PartPlan, slot: int) -> int:
        """First slot after ``slot`` at which a chord changes under the part, in any statement of its repeat."""
        if part.repeat_every is None:
            return self.span_at(slot).end
        statement = part.repeat_every * self.metre.grid
        home, first = slot % statement, slot - slot % statement
        ends = [span.end % statement for span in self.spans]
        return first + min((end for end in ends if end > home), default=statement)

    def tail_start(self, part: PartPlan) -> int:
        """First slot of the last statement's last bar, where the variation lies; the loop's end without a repeat."""
        return self.slots if part.repeat_every is None else self.slots - self.metre.grid
