"""The keys of a part, a table ``[parts.NAME]``."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Discriminator, Field, StrictInt, Tag

from solver.brief.value_kinds import (
    MAX_BARS,
    Figure,
    Motion,
    Ornaments,
    Pair,
    Role,
    Texture,
    Tuning,
    file_path,
    number_or_name,
    range_of,
    read_by,
    rising,
    words,
)


class Part(BaseModel):
    """One part of a brief, a table ``[parts.NAME]``."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)

    role: Role | None = Field(
        default=None,
        description="What the part does: `lead`, `low`, `background`, `chords` or `counter`. A role may occur twice; "
        "the order in the brief is then the order from high to low",
        examples=['"lead"'],
        json_schema_extra=words("", "the part's name, where it is a role"),
    )
    instrument: str = Field(
        default="electric guitar",
        description="An instrument of `shared/instruments.toml`",
        examples=['"muted electric guitar"'],
        json_schema_extra=words('the name of an instrument, such as "electric guitar"', '`"electric guitar"`'),
    )
    tuning: Tuning | None = Field(
        default=None,
        description="`standard`, `drop D`, or the open strings from low to high",
        examples=['["D2", "A2", "D3", "G3", "B3", "E4"]'],
        json_schema_extra=words(
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
        json_schema_extra=words("a whole number from 0 (no capo) to 12", "0"),
    )
    range: Annotated[str, read_by(range_of)] | None = Field(
        default=None,
        description="Lowest and highest note",
        examples=['"E3..E5"'],
        json_schema_extra=words('the lowest and the highest note, such as "E3..E5"', "by role and instrument"),
    )
    notes_per_bar: Pair | None = Field(
        default=None,
        description="Fewest and most notes (or strokes) a bar",
        examples=["[3, 6]"],
        json_schema_extra=words("two whole numbers, fewest and most, such as [3, 6]", "by role, metre and figure"),
    )
    repeat_every: StrictInt | None = Field(
        default=None,
        ge=1,
        le=MAX_BARS,
        description="Bars after which the part repeats itself. Must divide the loop; the loop's length means no repeat",
        examples=["4"],
        json_schema_extra=words(
            "a whole number of bars that divides the loop",
            "for a lead the largest multiple of a pass through the chords, from 2 to 8 bars, that fits the loop at "
            "least twice; else no repeat",
        ),
    )
    vary_notes: Pair | None = Field(
        default=None,
        description="Fewest and most notes that differ in the last repeat's last bar; `[0, 0]` is an exact repeat",
        examples=["[1, 2]"],
        json_schema_extra=words(
            "two whole numbers, fewest and most, such as [1, 2]", "`[1, 2]` for a lead, else `[0, 0]`"
        ),
    )
    figure: Figure = Field(
        default="few notes",
        description="How the notes are chosen: `few notes`, `broken chord` (chord tones on neighbouring strings that "
        "ring on) or `steps` (along the scale)",
        examples=['"broken chord"'],
        json_schema_extra=words("", '`"few notes"`'),
    )
    motion: Motion = Field(
        default="free",
        description="Where the first notes of the bars go within a pass through the chords: `free`, `down`, `up`, or "
        "`hold` (one pitch a chord)",
        examples=['"down"'],
        json_schema_extra=words("", '`"free"`'),
    )
    texture: Texture | None = Field(
        default=None,
        description="What sounds at a stroke: `single` notes, `dyads` (two notes) or `chords` (three or more)",
        examples=['"dyads"'],
        json_schema_extra=words("", '`"single"`; for the role chords `"chords"`, unless its figure is a broken chord'),
    )
    ornaments: Ornaments | None = Field(
        default=None,
        description="The same as `ornaments` above, for this part alone; any part that plays single notes may have "
        "them",
        examples=['"many"'],
        json_schema_extra=words("", 'for a lead or a counter the brief\'s own, else `"none"`'),
    )

    from_: Annotated[str, AfterValidator(file_path)] | None = Field(
        default=None,
        alias="from",
        description="A MIDI file, as a path from the brief's folder, from which the part is taken as it is; the other "
        "parts are solved around it",
        examples=['"my-lead.mid"'],
        json_schema_extra=words('the path of a MIDI file, such as "my-lead.mid"', "none: the part is solved"),
    )
    track: (
        Annotated[
            Annotated[Annotated[StrictInt, Field(ge=1)], Tag("number")] | Annotated[str, Tag("name")],
            Discriminator(number_or_name),
        ]
        | None
    ) = Field(
        default=None,
        description="Which track of that file: its name, or its number among those with notes, from 1; of a file with "
        "one track each channel counts as one",
        examples=['"Lead"'],
        json_schema_extra=words(
            "a track's name, or its number from 1, such as 2", "the only one, or the one with the part's name"
        ),
    )
    bars: (
        Annotated[
            tuple[Annotated[StrictInt, Field(ge=1)], Annotated[StrictInt, Field(ge=1)]],
            Field(strict=False),
            AfterValidator(rising),
        ]
        | None
    ) = Field(
        default=None,
        description="First and last bar of that file that are taken; bars of the loop beyond them are solved",
        examples=["[5, 8]"],
        json_schema_extra=words(
            "the first and the last bar, such as [5, 8]",
            "from bar 1 to the last in which the file plays, as many as the loop has at most",
        ),
    )
    transpose: StrictInt = Field(
        default=0,
        ge=-48,
        le=48,
        description="Semitones by which what is taken is moved up, or down where negative",
        examples=["-12"],
        json_schema_extra=words("a whole number of semitones from -48 to 48", "0"),
    )
