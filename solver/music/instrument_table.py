"""The reader of ``instruments.toml``: validates each row and says in one line what is wrong with it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from solver.music.faults import Fault, TableFault
from solver.music.instruments import STANDARD, Instrument, check_strings
from solver.music.pitch import HIGHEST, note_name
from solver.music.table import read_toml, table_fault


def _strings(value: object) -> tuple[int, ...]:
    if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
        raise Fault("this is not a list of note names", 'write one, like ["E2", "A2", "D3", "G3", "B3", "E4"]')
    return check_strings(value)


Strings = Annotated[tuple[int, ...], BeforeValidator(_strings)]


class Row(BaseModel):
    """One instrument as the table writes it."""

    model_config = ConfigDict(extra="forbid", strict=True)

    tuning: Strings
    frets: int = Field(ge=10, le=36)
    hand_span: int = Field(ge=2, le=8)
    chord_span: int = Field(ge=2, le=8)
    program: int = Field(ge=0, le=127)
    sound: Literal["electric", "muted", "acoustic", "nylon", "low", "bass"]
    ring: float | None = Field(default=None, gt=0, allow_inf_nan=False)
    tunings: dict[str, Strings] = Field(default_factory=dict)


def read_table(path: Path) -> list[Instrument]:
    """All instruments of a table in its order. Raises TableFault with file, key and what would be right."""
    rows = read_toml(path)
    if not rows:
        raise TableFault(path, "", "the table is empty", 'add a row like ["electric guitar"]')
    return [_instrument(path, name, values) for name, values in rows.items()]


def _instrument(path: Path, name: str, values: object) -> Instrument:
    if not isinstance(values, dict):
        raise TableFault(path, name, "this is not an instrument", f'write ["{name}"] and its keys below')
    try:
        row = Row.model_validate(values)
    except ValidationError as error:
        raise table_fault(path, name, error, Row.model_fields) from None
    for other, strings in row.tunings.items():
        if other.casefold() == STANDARD:
            raise TableFault(path, f"{name}.tunings.{other}", "standard is the row's own tuning", "use another name")
        _check_top(path, f"{name}.tunings.{other}", strings, row.frets)
    _check_top(path, f"{name}.tuning", row.tuning, row.frets)
    return Instrument(
        name=name,
        tuning=row.tuning,
        frets=row.frets,
        hand_span=row.hand_span,
        chord_span=row.chord_span,
        program=row.program,
        sound=row.sound,
        ring=row.ring,
        tunings=((STANDARD, row.tuning), *row.tunings.items()),
    )


def _check_top(path: Path, key: str, strings: tuple[int, ...], frets: int) -> None:
    if max(strings) + frets > HIGHEST:
        wrong = f"{frets} frets above {note_name(max(strings))} leave the MIDI notes"
        raise TableFault(path, key, wrong, f"tune the top string to {note_name(HIGHEST - frets)} at most")
