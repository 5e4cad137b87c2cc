"""The shape that a take's record must have, as pydantic reads it. Imported only where a record is read."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    FiniteFloat,
    StringConstraints,
    model_validator,
)

from solver.arrangement import Arrangement, Mark, Nearest, Note, Ranked
from solver.avoided import Avoided, LoopLine, Move
from solver.held import Held
from solver.rules.rule import Breach
from solver.takes.record import Option, Parent, TakeHeader

Ornament = Literal["trill", "mordent", "run"]


def _above_zero(quarters: str) -> str:
    if not Fraction(quarters):
        raise ValueError("a time is 0")
    return quarters


Quarters = Annotated[str, StringConstraints(pattern=r"^[0-9]{1,6}(/[1-9][0-9]{0,5})?$")]  # a fraction


class _Row(BaseModel):
    """Strict values; keys that a later version may add are passed over."""

    model_config = ConfigDict(strict=True, frozen=True, extra="ignore")


class ParentRow(_Row):
    """The arrangement a take was made from."""

    take: str
    arrangement: Annotated[int, Field(ge=1)]


class MarkRow(_Row):
    """One merit's mark."""

    merit: str
    points: FiniteFloat
    weight: int
    sentence: str


class NoteRow(_Row):
    """One note; times in slots."""

    part: str
    onset: Annotated[int, Field(ge=0)]
    length: Annotated[int, Field(ge=1)]
    pitch: Annotated[int, Field(ge=0, le=127)]
    string: Annotated[int, Field(ge=1)] | None = None
    fret: Annotated[int, Field(ge=0)] | None = None
    ornament: Ornament | None = None

    def plain(self) -> Note:
        """As the rest of the program has it."""
        return Note(self.part, self.onset, self.length, self.pitch, self.string, self.fret, self.ornament)


class HeldRow(_Row):
    """A part that the brief took from a file."""

    part: str
    start: Annotated[int, Field(ge=0)]
    end: Annotated[int, Field(ge=1)]
    words: str
    notes: list[NoteRow]

    def held(self) -> Held:
        """As the rest of the program has it."""
        return Held(self.part, self.start, self.end, "notes", tuple(row.plain() for row in self.notes), self.words)


class NearestRow(_Row):
    """The passage nearest to one avoided source."""

    source: str
    part: str | None
    bars: list[int]
    source_part: str | None
    source_bars: list[int]
    similarity: FiniteFloat
    shared: int

    def nearest(self) -> Nearest:
        """As the rest of the program has it."""
        bars, there = tuple(self.bars), tuple(self.source_bars)
        return Nearest(self.source, self.part, bars, self.source_part, there, self.similarity, self.shared)


class LineRow(_Row):
    """One part of a reference."""

    part: str
    first: Quarters
    intervals: list[Annotated[int, Field(ge=-127, le=127)]]
    quarters: list[Annotated[Quarters, AfterValidator(_above_zero)]]

    @model_validator(mode="after")
    def _paired(self) -> LineRow:
        if len(self.intervals) != len(self.quarters) or len(self.intervals) < 2:
            raise ValueError("intervals and quarters differ in number, or are fewer than two")
        return self

    def line(self) -> LoopLine:
        """As the rest of the program has it."""
        moves = zip(self.intervals, self.quarters, strict=True)
        return LoopLine(self.part, Fraction(self.first), tuple(Move(i, Fraction(q)) for i, q in moves))


class ReferenceRow(_Row):
    """A file that was kept clear of."""

    name: str
    bar: Annotated[Quarters, AfterValidator(_above_zero)]
    parts: list[LineRow]

    def avoided(self) -> Avoided:
        """As the rest of the program has it."""
        return Avoided(self.name, Fraction(self.bar), tuple(row.line() for row in self.parts))


class BreachRow(_Row):
    """A rule that held notes break; the slot counts from the loop's start."""

    rule: str
    part: str | None
    slot: Annotated[int, Field(ge=0)]
    why: str


class RankedRow(_Row):
    """One arrangement with its judgement."""

    total: FiniteFloat
    bound: FiniteFloat
    proved: bool
    summary: str
    marks: list[MarkRow]
    excused: list[BreachRow] = []
    notes: list[NoteRow]
    nearest: list[NearestRow] = []

    def ranked(self) -> Ranked:
        """As the rest of the program has it."""
        notes = tuple(row.plain() for row in self.notes)
        marks = tuple(Mark(m.merit, m.points, m.weight, m.sentence) for m in self.marks)
        excused = tuple(Breach(b.rule, b.part, b.slot, b.why) for b in self.excused)
        nearest = tuple(row.nearest() for row in self.nearest)
        return Ranked(Arrangement(notes), self.total, self.bound, self.proved, marks, self.summary, nearest, excused)


class FoundRow(_Row):
    """Arrangements alone, best first."""

    arrangements: list[RankedRow]


class HeaderRow(_Row):
    """What led to a take."""

    format: Literal[1]
    sennit: str
    versions: dict[str, str]
    brief_name: str
    brief: str
    seed: int
    options: dict[str, Option]
    parent: ParentRow | None
    locks: list[str]
    changes: list[str]
    references: list[ReferenceRow] = []
    avoided_takes: list[str] = []
    compared: str = ""
    lines: list[HeldRow] = []

    def header(self) -> TakeHeader:
        """As the rest of the program has it."""
        parent = Parent(self.parent.take, self.parent.arrangement) if self.parent else None
        return TakeHeader(
            self.brief_name,
            self.brief,
            self.seed,
            self.options,
            parent,
            tuple(self.locks),
            tuple(self.changes),
            self.sennit,
            self.versions,
            tuple(row.avoided() for row in self.references),
            tuple(self.avoided_takes),
            self.compared,
            tuple(row.held() for row in self.lines),
        )


class TakeRow(HeaderRow):
    """A whole ``take.json``."""

    sound: str
    arrangements: list[RankedRow]


class RemarkRow(_Row):
    """What a person said about one arrangement."""

    favourite: bool = False
    note: str = ""


RemarkRows = dict[Annotated[int, Field(ge=1)], RemarkRow]
