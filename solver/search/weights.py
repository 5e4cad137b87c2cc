"""The weights of the merits: shared/weights.toml, times what a brief's ``prefer`` says."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from solver.merits import every_merit
from solver.music.faults import TableFault
from solver.music.table import read_toml
from solver.shared_data import shared_file

TABLE = "weights.toml"


def load_weights(folder: Path | None = None) -> dict[str, int]:
    """Weight by merit name. Raises TableFault with file, key and what would be right."""
    path = shared_file(TABLE, folder)
    weights: dict[str, int] = {}
    names = [merit.name for merit in every_merit()]
    for name, row in read_toml(path).items():
        if name not in names:
            raise TableFault(path, name, "there is no such merit", "the merits are: " + ", ".join(names))
        weight = row.get("weight") if isinstance(row, dict) else None
        if not isinstance(weight, int) or isinstance(weight, bool) or not 0 <= weight <= 100:
            raise TableFault(path, f"{name}.weight", f"{weight!r} is no weight", "write a whole number from 0 to 100")
        weights[name] = weight
    missing = [name for name in names if name not in weights]
    if missing:
        raise TableFault(path, missing[0], "the merit has no weight", "give it a row with weight = a whole number")
    return weights


def merit_key(name: str) -> str:
    """How a merit is written as a key of ``prefer``: its name with underscores."""
    return name.replace(" ", "_")


def weighted(weights: Mapping[str, int], prefer: Mapping[str, float]) -> dict[str, int]:
    """Weights in hundredths after a brief's factors, which go by name or by key."""
    return {
        name: round(100 * weight * prefer.get(name, prefer.get(merit_key(name), 1))) for name, weight in weights.items()
    }
