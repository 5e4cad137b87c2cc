"""The keys of a brief: what each means, which values it takes, and what holds where it is left out.

Only what can be seen in one value alone is checked here; what depends on several keys (a range outside the
instrument, chords that do not fill the loop) is checked where the plan is made. README's table of keys is printed
from these fields by ``python -m solver.brief.keys``.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    JsonValue,
    StrictBool,
    StrictFloat,
    StrictInt,
    Tag,
)
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from solver.avoided import LONGEST_SHARED
from solver.brief.feel_table import FeelTable
from solver.brief.part_names import MAX_PARTS
from solver.music.chords import parse_chord
from solver.music.faults import Fault
from solver.music.metre import Metre, parse_metre
from solver.music.pitch import parse_note
from solver.music.scales import parse_key

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


def _read_by(read: Callable[[str], object]) -> AfterValidator:
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


def _read_meter(text: str) -> Metre:
    return parse_metre(text, None)


def _title(text: str) -> str:
    if not text.strip() or not text.isprintable():
        raise _unreadable("the title is blank or holds a character that cannot be printed", "write one line of text")
    return text


def _file(text: str) -> str:
    if not text.strip() or not text.isprintable():
        raise _unreadable("the file's name is blank or holds a character that cannot be printed", "write a file's path")
    return text


def _rising(pair: tuple[int, int]) -> tuple[int, int]:
    if pair[0] > pair[1]:
        raise _unreadable(f"[{pair[0]}, {pair[1]}] has the larger number first", f"write [{pair[1]}, {pair[0]}]")
    return pair


def _word_or_table(value: object) -> str:
    return "table" if isinstance(value, dict | FeelTable) else "word"


def _number_or_name(value: object) -> str:
    return "name" if isinstance(value, str) else "number"


def _shape(value: object) -> str:
    return "list" if isinstance(value, list) else "one"


Bars = Annotated[StrictFloat, Field(gt=0, le=MAX_BARS)]
Count = Annotated[StrictInt, Field(ge=0, le=MOST_SLOTS)]
Pair = Annotated[tuple[Count, Count], Field(strict=False), AfterValidator(_rising)]
NoteName = Annotated[str, _read_by(parse_note)]
Tuning = Annotated[Annotated[str, Tag("one")] | Annotated[list[NoteName], Tag("list")], Discriminator(_shape)]
ChordBars = Annotated[Annotated[Bars, Tag("one")] | Annotated[list[Bars], Tag("list")], Discriminator(_shape)]

FeelValue = Annotated[
    Annotated[Literal["none"], Tag("word")] | Annotated[FeelTable, Tag("table")], Discriminator(_word_or_table)
]


def _words(right: str, default: str) -> dict[str, JsonValue]:
    """What messages and the table of keys say of a field: what would be right, and what holds by default."""
    return {"right": right, "default": default}


class Part(BaseModel):
    """One part of a brief, a table ``[parts.NAME]``."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)

    role: Role | None = Field(
        default=None,
        description="What the part does: `lead`, `low`, `background`, `chords` or `counter`. A role may occur twice; "
        "the order in the brief is then the order from high to low",
        examples=['"lead"'],
        json_schema_extra=_words("", "the part's name, where it is a role"),
    )
    instrument: str = Field(
        default="electric guitar",
        description="An instrument of `shared/instruments.toml`",
        examples=['"muted electric guitar"'],
        json_schema_extra=_words('the name of an instrument, such as "electric guitar"', '`"electric guitar"`'),
    )
    tuning: Tuning | None = Field(
        default=None,
        description="`standard`, `drop D`, or the open strings from low to high",
        examples=['["D2", "A2", "D3", "G3", "B3", "E4"]'],
        json_schema_extra=_words(
            '"standard", "drop D" or a list of notes from low to high, such as ["D2", "A2", "D3", "G3", "B3", "E4"]',
            "the instrument's own",
        ),
    )
    capo: StrictInt = Field(
        default=0,
        ge=0,
        le=12,
        description="Fret that the capo holds down",
        examples=["2"],
        json_schema_extra=_words("a whole number from 0 (no capo) to 12", "0"),
    )
    range: Annotated[str, _read_by(range_of)] | None = Field(
        default=None,
        description="Lowest and highest note",
        examples=['"E3..E5"'],
        json_schema_extra=_words('the lowest and the highest note, such as "E3..E5"', "by role and instrument"),
    )
    notes_per_bar: Pair | None = Field(
        default=None,
        description="Fewest and most notes (or strokes) a bar",
        examples=["[3, 6]"],
        json_schema_extra=_words("two whole numbers, fewest and most, such as [3, 6]", "by role, metre and figure"),
    )
    repeat_every: StrictInt | None = Field(
        default=None,
        ge=1,
        le=MAX_BARS,
        description="Bars after which the part repeats itself. Must divide the loop; the loop's length means no repeat",
        examples=["4"],
        json_schema_extra=_words(
            "a whole number of bars that divides the loop",
            "for a lead the largest multiple of a pass through the chords, from 2 to 8 bars, that fits the loop at "
            "least twice; else no repeat",
        ),
    )
    vary_notes: Pair | None = Field(
        default=None,
        description="Fewest and most notes that differ in the last repeat's last bar; `[0, 0]` is an exact repeat",
        examples=["[1, 2]"],
        json_schema_extra=_words(
            "two whole numbers, fewest and most, such as [1, 2]", "`[1, 2]` for a lead, else `[0, 0]`"
        ),
    )
    figure: Figure = Field(
        default="few notes",
        description="How the notes are chosen: `few notes`, `broken chord` (chord tones on neighbouring strings that "
        "ring on) or `steps` (along the scale)",
        examples=['"broken chord"'],
        json_schema_extra=_words("", '`"few notes"`'),
    )
    motion: Motion = Field(
        default="free",
        description="Where the first notes of the bars go within a pass through the chords: `free`, `down`, `up`, or "
        "`hold` (one pitch a chord)",
        examples=['"down"'],
        json_schema_extra=_words("", '`"free"`'),
    )
    texture: Texture | None = Field(
        default=None,
        description="What sounds at a stroke: `single` notes, `dyads` (two notes) or `chords` (three or more)",
        examples=['"dyads"'],
        json_schema_extra=_words("", '`"single"`; for the role chords `"chords"`, unless its figure is a broken chord'),
    )
    ornaments: Ornaments | None = Field(
        default=None,
        description="The same as `ornaments` above, for this part alone; any part that plays single notes may have "
        "them",
        examples=['"many"'],
        json_schema_extra=_words("", 'for a lead or a counter the brief\'s own, else `"none"`'),
    )

    from_: Annotated[str, AfterValidator(_file)] | None = Field(
        default=None,
        alias="from",
        description="A MIDI file, as a path from the brief's folder, from which the part is taken as it is; the other "
        "parts are solved around it",
        examples=['"my-lead.mid"'],
        json_schema_extra=_words('the path of a MIDI file, such as "my-lead.mid"', "none: the part is solved"),
    )
    track: (
        Annotated[
            Annotated[Annotated[StrictInt, Field(ge=1)], Tag("number")] | Annotated[str, Tag("name")],
            Discriminator(_number_or_name),
        ]
        | None
    ) = Field(
        default=None,
        description="Which track of that file: its name, or its number among those with notes, from 1; of a file with "
        "one track each channel counts as one",
        examples=['"Lead"'],
        json_schema_extra=_words(
            "a track's name, or its number from 1, such as 2", "the only one, or the one with the part's name"
        ),
    )
    bars: (
        Annotated[
            tuple[Annotated[StrictInt, Field(ge=1)], Annotated[StrictInt, Field(ge=1)]],
            Field(strict=False),
            AfterValidator(_rising),
        ]
        | None
    ) = Field(
        default=None,
        description="First and last bar of that file that are taken; bars of the loop beyond them are solved",
        examples=["[5, 8]"],
        json_schema_extra=_words("the first and the last bar, such as [5, 8]", "as many as the loop has, from bar 1"),
    )
    transpose: StrictInt = Field(
        default=0,
        ge=-48,
        le=48,
        description="Semitones by which what is taken is moved up, or down where negative",
        examples=["-12"],
        json_schema_extra=_words("a whole number of semitones from -48 to 48", "0"),
    )


class Brief(BaseModel):
    """A whole brief, as the TOML file gives it."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)

    title: Annotated[str, Field(max_length=100), AfterValidator(_title)] | None = Field(
        default=None,
        description="Name of the piece",
        examples=['"Ferry lights"'],
        json_schema_extra=_words("one line of text of at most 100 characters", "from the file's name"),
    )
    key: Annotated[str, _read_by(parse_key)] = Field(
        description="Tonic and mode: `major`, `minor`, `harmonic minor`, `melodic minor`, or a church mode",
        examples=['"B minor"'],
        json_schema_extra=_words('a tonic and a mode, such as "B minor", "F# major" or "D dorian"', "must be given"),
    )
    tempo: StrictFloat = Field(
        default=120.0,
        ge=30,
        le=300,
        description="Quarter notes a minute, from 30 to 300",
        examples=["138"],
        json_schema_extra=_words("a number of quarter notes a minute from 30 to 300, such as 138", "120"),
    )
    meter: Annotated[str, _read_by(_read_meter)] = Field(
        default="4/4",
        description="`4/4`, `3/4`, `2/4`, `5/4`, `6/8`, `7/8` or `12/8`",
        examples=['"6/8"'],
        json_schema_extra=_words('one of "4/4", "3/4", "2/4", "5/4", "6/8", "7/8", "12/8"', '`"4/4"`'),
    )
    bars: StrictInt = Field(
        ge=1,
        le=MAX_BARS,
        description=f"Bars of the loop, from 1 to {MAX_BARS}",
        examples=["8"],
        json_schema_extra=_words(f"a whole number from 1 to {MAX_BARS}, such as 8", "must be given"),
    )
    chords: Annotated[list[Annotated[str, _read_by(parse_chord)]], Field(min_length=1, max_length=128)] = Field(
        description="Chord symbols; each lasts `chord_bars`, then the list starts again",
        examples=['["Bm", "G"]'],
        json_schema_extra=_words('a list of chord symbols, such as ["Bm", "G"]', "must be given"),
    )
    chord_bars: ChordBars | None = Field(
        default=None,
        description="Bars a chord lasts: one number for all, or one for each; 0.5 is half a bar",
        examples=["[3, 1]"],
        json_schema_extra=_words(
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
        json_schema_extra=_words("a whole number of slots a bar, such as 16", "the bar's sixteenths"),
    )
    seed: StrictInt = Field(
        default=0,
        ge=0,
        le=2**31 - 1,
        description="Another seed gives other arrangements",
        examples=["7"],
        json_schema_extra=_words("a whole number from 0", "0"),
    )
    count: StrictInt = Field(
        default=6,
        ge=1,
        le=100,
        description="Arrangements to look for",
        examples=["10"],
        json_schema_extra=_words("a whole number from 1 to 100, such as 6", "6"),
    )
    prefer: dict[str, Annotated[StrictFloat, Field(ge=0, le=5)]] = Field(
        default_factory=dict,
        description="How much each merit counts: a factor from 0 (not at all) to 5, where 1 is usual. The merits are "
        "the rows of `shared/weights.toml`; here underscores stand for their spaces, or the name of a merit's file in "
        "`solver/merits` for the whole",
        examples=["{ contrary_motion = 2 }"],
        json_schema_extra=_words(
            "a table of merits with factors from 0 to 5, such as { syncopation_suits_the_role = 2 }", "all 1"
        ),
    )
    feel: FeelValue | None = Field(
        default=None,
        description="How the loop is played, a table `[feel]` with the keys below; `none` plays the grid as it is",
        examples=['"none"'],
        json_schema_extra=_words('"none", or a table such as [feel] with swing = 1.6', "played, by the defaults below"),
    )
    avoid: Annotated[list[Annotated[str, AfterValidator(_file)]], Field(max_length=16)] = Field(
        default_factory=list,
        description="MIDI or MusicXML files from which arrangements keep a distance, as paths from the brief's folder",
        examples=['["refs/harbour.mid"]'],
        json_schema_extra=_words('a list of up to 16 files, such as ["refs/harbour.mid"]', "none"),
    )
    longest_shared: StrictInt = Field(
        default=LONGEST_SHARED,
        ge=2,
        le=32,
        description="Most intervals in a row, with their rhythm, that any part may share with what is avoided",
        examples=["4"],
        json_schema_extra=_words("a whole number of intervals from 2 to 32, such as 5", str(LONGEST_SHARED)),
    )
    avoid_takes: StrictBool = Field(
        default=False,
        description="Whether a new take keeps the same distance from all earlier takes of this brief",
        examples=["true"],
        json_schema_extra=_words("true or false", "false"),
    )
    ornaments: Ornaments = Field(
        default="none",
        description="How many of the long notes of leads and counters are decorated: `none`, `few` (one in four "
        "bars) or `many` (up to one a bar), by trills, mordents and short runs into the next note",
        examples=['"few"'],
        json_schema_extra=_words("", '`"none"`'),
    )
    parts: dict[str, Part] = Field(
        description=f"The parts, 1 to {MAX_PARTS} tables",
        examples=["[parts.lead]"],
        json_schema_extra=_words(f"1 to {MAX_PARTS} tables such as [parts.lead]", "must be given"),
    )


def keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The keys of a table as a brief writes them (``from`` cannot be a name in Python), with their fields."""
    return {field.alias or name: field for name, field in model.model_fields.items()}
