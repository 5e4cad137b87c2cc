"""How long it takes to show that no rhythm of many gives a better arrangement of ferry-lights."""

from __future__ import annotations

import tempfile
from pathlib import Path

from solver.take import list_takes, read_take
from tests.bench.command import FERRY_LIGHTS, timed
from tests.bench.figure import Bench, Figure, seconds

RHYTHMS = 1000


def figures(bench: Bench) -> list[Figure]:
    """The wait, and what the take says."""
    runs = bench.repeated(f"ferry-lights, {RHYTHMS} rhythms", _compare)
    said = {words for _, words in runs}
    return [
        seconds(f"{RHYTHMS} rhythms compared", [searched for searched, _ in runs], "60 s"),
        *(Figure("what the take says", words) for words in sorted(said)),
    ]


def _compare() -> tuple[float, str]:
    with tempfile.TemporaryDirectory() as folder:
        run = timed(["arrange", str(FERRY_LIGHTS), "--rhythms", str(RHYTHMS), "--out", folder])
        [take] = list_takes(Path(folder) / FERRY_LIGHTS.stem)
        return run.searched, read_take(take).header.compared
