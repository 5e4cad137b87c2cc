"""The shape that a take's record must have, as pydantic reads it. Imported only where a record is read."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat

from solver.arrangement import Arrangement, Mark, Note, Ranked
from solver.takes.record import Option, Parent, TakeHeader

Ornament = Literal["trill", "mordent", "run"]


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


class RankedRow(_Row):
    """One arrangement with its judgement."""

    total: FiniteFloat
    bound: FiniteFloat
    proved: bool
    summary: str
    marks: list[MarkRow]
    notes: list[NoteRow]

    def ranked(self) -> Ranked:
        """As the rest of the program has it."""
        notes = tuple(Note(n.part, n.onset, n.length, n.pitch, n.string, n.fret, n.ornament) for n in self.notes)
        marks = tuple(Mark(m.merit, m.points, m.weight, m.sentence) for m in self.marks)
        return Ranked(Arrangement(notes), self.total, self.bound, self.proved, marks, self.summary)


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
        )


class TakeRow(HeaderRow):
    """A whole ``take.json``."""

    sound: str
    arrangements: list[RankedRow]
