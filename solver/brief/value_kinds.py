"""The kinds of values that a brief's keys take, each with what can be seen in one value alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Literal

from pydantic import AfterValidator, Discriminator, Field, JsonValue, StrictFloat, StrictInt, Tag
from pydantic_core import PydanticCustomError

from solver.brief.feel_table import FeelTable
from solver.music.faults import Fault
from solver.music.metre import Metre, parse_metre
from solver.music.pitch import parse_note

Role = Literal["lead", "low", "background", "chords", "counter"]
Figure = Literal["few notes", "broken chord", "steps"]
Motion = Literal["free", "down", "up", "hold"]
Texture = Literal["single", "dyads", "chords"]
Ornaments = Literal["none", "few", "many"]

MAX_BARS = 32
MOST_SLOTS = 1000  # a bar; each metre allows far fewer, and says so in its own words


def range_of(text: str) -> tuple[int, int]:
    """The two MIDI numbers of a range such as ``E3..E5``. Raises Fault where it is none, or upside down."""
    low_name, dots, high_name = text.partition("..")
    if not dots:
        raise Fault(f'"{text}" is not a range', 'write the lowest and the highest note, such as "E3..E5"')
    low, high = parse_note(low_name), parse_note(high_name)
    if low > high:
        raise Fault(f'"{text}" has its higher note first', f'write "{high_name.strip()}..{low_name.strip()}"')
    return low, high


def read_by(read: Callable[[str], object]) -> AfterValidator:
    """A validator that leaves a text as it is where ``read`` can read it, and hands on the reason where it cannot."""

    def check(text: str) -> str:
        try:
            read(text)
        except Fault as fault:
            raise _unreadable(fault.wrong, fault.right) from fault
        return text

    return AfterValidator(check)


def _unreadable(wrong: str, right: str) -> PydanticCustomError:
    return PydanticCustomError("unreadable", "{wrong}; {right}", {"wrong": wrong, "right": right})


def read_meter(text: str) -> Metre:
    """A metre on its usual grid."""
    return parse_metre(text, None)


def title_line(text: str) -> str:
    """The title as it is; it has to be one line that can be printed."""
    if not text.strip() or not text.isprintable():
        raise _unreadable("the title is blank or holds a character that cannot be printed", "write one line of text")
    return text


def file_path(text: str) -> str:
    """The path as it is; whether the file is there is seen when it is read."""
    if not text.strip() or not text.isprintable():
        raise _unreadable("the file's name is blank or holds a character that cannot be printed", "write a file's path")
    return text


def rising(pair: tuple[int, int]) -> tuple[int, int]:
    """The pair as it is; its second number may not be the smaller one."""
    if pair[0] > pair[1]:
        raise _unreadable(f"[{pair[0]}, {pair[1]}] has the larger number first", f"write [{pair[1]}, {pair[0]}]")
    return pair


def _word_or_table(value: object) -> str:
    return "table" if isinstance(value, dict | FeelTable) else "word"


def number_or_name(value: object) -> str:
    """The tag of what names a track: ``number`` or ``name``."""
    return "name" if isinstance(value, str) else "number"


def _shape(value: object) -> str:
    return "list" if isinstance(value, list) else "one"


Bars = Annotated[StrictFloat, Field(gt=0, le=MAX_BARS)]
Count = Annotated[StrictInt, Field(ge=0, le=MOST_SLOTS)]
Pair = Annotated[tuple[Count, Count], Field(strict=False), AfterValidator(rising)]
NoteName = Annotated[str, read_by(parse_note)]
Tuning = Annotated[Annotated[str, Tag("one")] | Annotated[list[NoteName], Tag("list")], Discriminator(_shape)]
ChordBars = Annotated[Annotated[Bars, Tag("one")] | Annotated[list[Bars], Tag("list")], Discriminator(_shape)]

FeelValue = Annotated[
    Annotated[Literal["none"], Tag("word")] | Annotated[FeelTable, Tag("table")], Discriminator(_word_or_table)
]


def words(right: str, default: str) -> dict[str, JsonValue]:
    """What messages and the table of keys say of a field: what would be right, and what holds by default."""
    return {"right": right, "default": default}
