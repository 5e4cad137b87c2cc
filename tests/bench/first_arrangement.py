"""How long a producer waits for the first valid arrangement of ferry-lights."""

from __future__ import annotations

from tests.bench.figure import Bench, Figure, seconds


def figures(bench: Bench) -> list[Figure]:
    """From the command's start until the first arrangement is checked and on disk."""
    return [seconds("first valid arrangement", [run.first for run in bench.runs], "1.5 s")]
