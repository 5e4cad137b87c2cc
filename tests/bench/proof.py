"""How many arrangements of ferry-lights are proved to be the best possible for their rhythm."""

from __future__ import annotations

from statistics import median

from tests.bench.figure import Bench, Figure


def figures(bench: Bench) -> list[Figure]:
    """The number proved, and the widest gap of those that are not."""
    proved = median(run.proved for run in bench.runs)
    asked = bench.runs[0].asked
    widest = max(gap for run in bench.runs for gap in run.gaps)
    return [
        Figure("proved best for their rhythm", f"{proved:g} of {asked}", "5 of 6"),
        Figure("widest gap to the best possible", f"{100 * widest:.1f} %"),
    ]
