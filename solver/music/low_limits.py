"""Low interval limits: how low an interval may lie before it turns muddy. Read from ``shared/low_limits.toml``.

The limits are soft: published tables differ by one to three semitones (see the table's head).
"""

from __future__ import annotations

from pathlib import Path

from solver.music.faults import Fault, TableFault
from solver.music.pitch import parse_note
from solver.music.table import read_toml, table_fault
from solver.shared_data import shared_file

TABLE = "low_limits.toml"


def load_low_limits(folder: Path | None = None) -> dict[int, int]:
    """Lowest bottom note (MIDI) by size of the interval (semitones), from ``shared/low_limits.toml``.

    ``folder`` is a workspace, by default the current folder; the shipped table is read where it has none. Raises
    TableFault (a ValueError) with file, key and what would be right.
    """
    path = shared_file(TABLE, folder)
    limits: dict[int, int] = {}
    for name, values in read_toml(path).items():
        semitones, lowest = _row(path, name, values)
        if semitones in limits:
            raise TableFault(
                path, f"{name}.semitones", f"{semitones} semitones have a row already", "keep one of the two"
            )
        limits[semitones] = lowest
    return limits


def shortfall(lower: int, upper: int, limits: dict[int, int]) -> int:
    """Semitones by which the bottom of an interval lies below its limit; 0 where it keeps it or has none."""
    low, high = min(lower, upper), max(lower, upper)
    return max(0, limits.get(high - low, low) - low)


def _row(path: Path, name: str, values: object) -> tuple[int, int]:
    from pydantic import BaseModel, ConfigDict, Field, ValidationError

    class Row(BaseModel):
        model_config = ConfigDict(extra="forbid", strict=True)

        semitones: int = Field(ge=1, le=36)
        lowest: str

    if not isinstance(values, dict):
        raise TableFault(path, name, "this is not an interval", f'write ["{name}"], then semitones and lowest')
    try:
        row = Row.model_validate(values)
    except ValidationError as error:
        raise table_fault(path, name, error, Row.model_fields) from None
    try:
        return row.semitones, parse_note(row.lowest)
    except Fault as fault:
        raise TableFault(path, f"{name}.lowest", fault.wrong, fault.right) from None
