"""The example briefs as plans."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.reader import read_brief

FOLDER = Path(__file__).parents[2] / "briefs"
NAMES = tuple(sorted(path.stem for path in FOLDER.glob("*.toml")))


@cache
def example(name: str) -> Plan:
    """The plan of an example brief."""
    return plan_from(read_brief(FOLDER / f"{name}.toml"))
