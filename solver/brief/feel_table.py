"""The keys of ``[feel]`` in a brief."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, StrictFloat
from pydantic_core import PydanticCustomError

from solver.brief.feel import ALTERNATE, DRAG, LARGEST_SWING, MUTED, RING, TENUTO, WRITTEN
from solver.brief.shown import short, shown

BY_TEMPO = "by tempo"
MOST_DRAG = 40.0  # milliseconds
LENGTHS = (WRITTEN, TENUTO, MUTED, RING)
RIGHT_DRAG = f"a table of roles with milliseconds from -{MOST_DRAG:g} to {MOST_DRAG:g}, such as {{ low = -4 }}"
RIGHT_LENGTHS = f'a table of roles with one of {", ".join(LENGTHS)}, such as {{ background = "{MUTED}" }}'


def _swing(value: Any) -> float | str:
    if value == BY_TEMPO or (_is_number(value) and 1 <= value <= LARGEST_SWING):
        return value
    raise _wrong("swing", value, f'a ratio from 1 (even) to {LARGEST_SWING:g}, such as 1.5, or "{BY_TEMPO}"')


def _drag(value: Any) -> dict[str, float]:
    if isinstance(value, dict) and value.keys() <= DRAG.keys():
        times = value.values()
        if all(_is_number(time) and abs(time) <= MOST_DRAG for time in times):
            return {role: float(time) for role, time in value.items()}
    raise _wrong("drag", value, RIGHT_DRAG)


def _lengths(value: Any) -> dict[str, str]:
    if isinstance(value, dict) and value.keys() <= DRAG.keys() and all(word in LENGTHS for word in value.values()):
        return value
    raise _wrong("lengths", value, RIGHT_LENGTHS)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _wrong(name: str, value: Any, right: str) -> PydanticCustomError:
    wrong = f"feel.{name} is {shown(value)}"
    strange = [role for role in value if role not in DRAG] if isinstance(value, dict) else []
    if strange:
        wrong, right = f'feel.{name}: "{short(strange[0])}" is no role', f"the roles are {', '.join(DRAG)}"
    elif isinstance(value, dict):
        entries = ", ".join(f"{role} = {shown(entry)}" for role, entry in value.items())
        wrong, right = f"feel.{name} has {entries}", f"write {right}"
    else:
        right = f"write {right}"
    return PydanticCustomError(
        "unreadable",
        "{wrong}; {right}",
        {"wrong": wrong, "right": right},
    )


Factor = Annotated[StrictFloat, Field(ge=0, le=2)]


class FeelTable(BaseModel):
    """How the loop is played, a table ``[feel]``."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)

    swing: Annotated[float | str, PlainValidator(_swing)] = Field(
        default=1.0,
        description="How long the first of two notes lasts against the second: 1 is even, 2 a triplet's; `by tempo` "
        "takes the ratio that was measured at this tempo",
        examples=["1.6"],
        json_schema_extra={"right": "", "default": "1"},
    )
    swing_on: Literal["8ths", "16ths"] | None = Field(
        default=None,
        description="Which notes swing: `8ths` or `16ths`",
        examples=['"16ths"'],
        json_schema_extra={"right": "", "default": "`8ths`; in 6/8, 7/8 and 12/8 `16ths`"},
    )
    drag: Annotated[dict[str, float], PlainValidator(_drag)] = Field(
        default_factory=dict,
        description="Milliseconds that a role plays behind the beat; a negative number pushes ahead",
        examples=["{ background = 12, low = -4 }"],
        json_schema_extra={
            "right": RIGHT_DRAG,
            "default": ", ".join(f"{role} {time:g}" for role, time in DRAG.items()),
        },
    )
    accent: Factor = Field(
        default=1.0,
        description="How much strong beats are struck harder: 0 not at all, 2 twice the usual",
        examples=["1.5"],
        json_schema_extra={"right": "a factor from 0 to 2, such as 1.5", "default": "1"},
    )
    phrase: Factor = Field(
        default=1.0,
        description="How much a phrase swells to its middle: 0 not at all, 2 twice the usual",
        examples=["0.5"],
        json_schema_extra={"right": "a factor from 0 to 2, such as 0.5", "default": "1"},
    )
    spread: Annotated[StrictFloat, Field(ge=0, le=20)] = Field(
        default=4.0,
        description="Milliseconds of chance in when a note starts; the seed decides, so it is always the same chance",
        examples=["6"],
        json_schema_extra={"right": "milliseconds from 0 to 20, such as 6", "default": "4"},
    )
    touch: Annotated[StrictFloat, Field(ge=0, le=20)] = Field(
        default=3.0,
        description="Chance in how hard a note is struck, in steps of MIDI velocity",
        examples=["5"],
        json_schema_extra={"right": "steps of velocity from 0 to 20, such as 5", "default": "3"},
    )
    strum: Annotated[StrictFloat, Field(ge=0, le=40)] = Field(
        default=7.0,
        description="Milliseconds from string to string of a struck chord",
        examples=["12"],
        json_schema_extra={"right": "milliseconds from 0 to 40, such as 12", "default": "7"},
    )
    strum_direction: Literal["alternate", "down", "up"] = Field(
        default=ALTERNATE,
        description="Which way a chord is struck: `down` from the lowest string, `up` from the highest, or `alternate` "
        "(down on the beats, up between them)",
        examples=['"down"'],
        json_schema_extra={"right": "", "default": '`"alternate"`'},
    )
    lengths: Annotated[dict[str, str], PlainValidator(_lengths)] = Field(
        default_factory=dict,
        description="How long a role's notes sound: `written` (let go just before the next), `tenuto` (into the next), "
        "`muted` (half), `ring` (to the next stroke or chord)",
        examples=['{ background = "muted" }'],
        json_schema_extra={"right": RIGHT_LENGTHS, "default": "`written` for all"},
    )
