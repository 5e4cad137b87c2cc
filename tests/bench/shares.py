"""Where the time of ferry-lights goes: what comes before the first solver, the solvers, what comes after the last."""

from __future__ import annotations

from statistics import median

from tests.bench.figure import Bench, Figure, seconds


def figures(bench: Bench) -> list[Figure]:
    """The solvers' share of the whole, and the two others in seconds."""
    runs = bench.runs
    share = median(run.solving / run.done for run in runs)
    return [
        Figure("share of the time in which a solver runs", f"{100 * share:.0f} %", "80 %"),
        seconds("before: start-up, brief, rhythms, the first model", [run.begun for run in runs]),
        seconds("after: what of the take is not written yet", [run.done - run.searched for run in runs]),
    ]
