"""The keys of a brief: what each means, which values it takes, and what holds where it is left out.

Only what can be seen in one value alone is checked here; what depends on several keys (a range outside the
instrument, chords that do not fill the loop) is checked where the plan is made. README's table of keys is printed
from these fields, and those of ``part_table`` and ``feel_table``, by ``python -m solver.brief.keys``.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StrictBool, StrictFloat, StrictInt
from pydantic.fields import FieldInfo

from solver.avoided import LONGEST_SHARED
from solver.brief.part_names import MAX_PARTS
from solver.brief.part_table import Part
from solver.brief.value_kinds import (
    MAX_BARS,
    MOST_SLOTS,
    ChordBars,
    FeelValue,
    Ornaments,
    file_path,
    read_by,
    read_meter,
    title_line,
    words,
)
from solver.music.chords import parse_chord
from solver.music.scales import parse_key


class Brief(BaseModel):
    """A whole brief, as the TOML file gives it."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)

    title: Annotated[str, Field(max_length=100), AfterValidator(title_line)] | None = Field(
        default=None,
        description="Name of the piece",
        examples=['"Ferry lights"'],
        json_schema_extra=words("one line of text of at most 100 characters", "from the file's name"),
    )
    key: Annotated[str, read_by(parse_key)] = Field(
        description="Tonic and mode: `major`, `minor`, `harmonic minor`, `melodic minor`, or a church mode",
        examples=['"B minor"'],
        json_schema_extra=words('a tonic and a mode, such as "B minor", "F# major" or "D dorian"', "must be given"),
    )
    tempo: StrictFloat = Field(
        default=120.0,
        ge=30,
        le=300,
        description="Quarter notes a minute, from 30 to 300",
        examples=["138"],
        json_schema_extra=words("a number of quarter notes a minute from 30 to 300, such as 138", "120"),
    )
    meter: Annotated[str, read_by(read_meter)] = Field(
        default="4/4",
        description="`4/4`, `3/4`, `2/4`, `5/4`, `6/8`, `7/8` or `12/8`",
        examples=['"6/8"'],
        json_schema_extra=words('one of "4/4", "3/4", "2/4", "5/4", "6/8", "7/8", "12/8"', '`"4/4"`'),
    )
    bars: StrictInt = Field(
        ge=1,
        le=MAX_BARS,
        description=f"Bars of the loop, from 1 to {MAX_BARS}",
        examples=["8"],
        json_schema_extra=words(f"a whole number from 1 to {MAX_BARS}, such as 8", "must be given"),
    )
    chords: Annotated[list[Annotated[str, read_by(parse_chord)]], Field(min_length=1, max_length=128)] = Field(
        description="Chord symbols; each lasts `chord_bars`, then the list starts again",
        examples=['["Bm", "G"]'],
        json_schema_extra=words('a list of chord symbols, such as ["Bm", "G"]', "must be given"),
    )
    chord_bars: ChordBars | None = Field(
        default=None,
        description="Bars a chord lasts: one number for all, or one for each; 0.5 is half a bar",
        examples=["[3, 1]"],
        json_schema_extra=words(
            "a number of bars above 0 for all chords, or a list with one for each, such as [3, 1]",
            "the largest of 4, 2 and 1 with which the list fills the loop twice or more; else bars / number of "
            "chords; a single chord lasts one statement of the lead",
        ),
    )
    grid: StrictInt | None = Field(
        default=None,
        ge=1,
        le=MOST_SLOTS,
        description="Slots a bar in which notes may start: a multiple of the metre's numerator, in 4/4 also 12 and 24",
        examples=["12"],
        json_schema_extra=words("a whole number of slots a bar, such as 16", "the bar's sixteenths"),
    )
    seed: StrictInt = Field(
        default=0,
        ge=0,
        le=2**31 - 1,
        description="Another seed gives other arrangements",
        examples=["7"],
        json_schema_extra=words("a whole number from 0", "0"),
    )
    count: StrictInt = Field(
        default=6,
        ge=1,
        le=100,
        description="Arrangements to look for",
        examples=["10"],
        json_schema_extra=words("a whole number from 1 to 100, such as 6", "6"),
    )
    prefer: dict[str, Annotated[StrictFloat, Field(ge=0, le=5)]] = Field(
        default_factory=dict,
        description="How much each merit counts: a factor from 0 (not at all) to 5, where 1 is usual. The merits are "
        "the rows of `shared/weights.toml`; here underscores stand for their spaces, or the name of a merit's file in "
        "`solver/merits` for the whole",
        examples=["{ contrary_motion = 2 }"],
        json_schema_extra=words(
            "a table of merits with factors from 0 to 5, such as { syncopation_suits_the_role = 2 }", "all 1"
        ),
    )
    feel: FeelValue | None = Field(
        default=None,
        description="How the loop is played, a table `[feel]` with the keys below; `none` plays the grid as it is",
        examples=['"none"'],
        json_schema_extra=words('"none", or a table such as [feel] with swing = 1.6', "played, by the defaults below"),
    )
    avoid: Annotated[list[Annotated[str, AfterValidator(file_path)]], Field(max_length=16)] = Field(
        default_factory=list,
        description="MIDI or MusicXML files from which arrangements keep a distance, as paths from the brief's folder",
        examples=['["refs/harbour.mid"]'],
        json_schema_extra=words('a list of up to 16 files, such as ["refs/harbour.mid"]', "none"),
    )
    longest_shared: StrictInt = Field(
        default=LONGEST_SHARED,
        ge=2,
        le=32,
        description="Most intervals in a row, with their rhythm, that any part may share with what is avoided",
        examples=["4"],
        json_schema_extra=words("a whole number of intervals from 2 to 32, such as 5", str(LONGEST_SHARED)),
    )
    avoid_takes: StrictBool = Field(
        default=False,
        description="Whether a new take keeps the same distance from all earlier takes of this brief",
        examples=["true"],
        json_schema_extra=words("true or false", "false"),
    )
    ornaments: Ornaments = Field(
        default="none",
        description="How many of the long notes of leads and counters are decorated: `none`, `few` (one in four "
        "bars) or `many` (up to one a bar), by trills, mordents and short runs into the next note",
        examples=['"few"'],
        json_schema_extra=words("", '`"none"`'),
    )
    parts: dict[str, Part] = Field(
        description=f"The parts, 1 to {MAX_PARTS} tables",
        examples=["[parts.lead]"],
        json_schema_extra=words(f"1 to {MAX_PARTS} tables such as [parts.lead]", "must be given"),
    )


def keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The keys of a table as a brief writes them (``from`` cannot be a name in Python), with their fields."""
    return {field.alias or name: field for name, field in model.model_fields.items()}
