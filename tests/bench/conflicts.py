"""How long a refusal takes to explain: the minimal conflicts of each brief that asks for too much, repairs verified."""

from __future__ import annotations

import time
from statistics import median

from solver.search.conflicts.explaining import explain
from tests.bench.figure import Bench, Figure
from tests.search.conflicts.infeasible import BRIEFS


def figures(bench: Bench) -> list[Figure]:
    """The median and the worst over all infeasible test briefs."""
    times = {name: median(bench.repeated(f"conflict, {name}", lambda name=name: _timed(name))) for name in BRIEFS}
    worst = max(times, key=lambda name: times[name])
    spread = f"{min(times.values()):.2f} to {max(times.values()):.2f}"
    return [
        Figure(
            f"conflict with verified repairs ({len(times)} briefs)", f"{median(times.values()):.2f} s", "2 s", spread
        ),
        Figure(f"the slowest of them ({worst})", f"{times[worst]:.2f} s", "10 s"),
    ]


def _timed(name: str) -> float:
    source, plan = BRIEFS[name].read()
    began = time.perf_counter()
    if explain(source, plan) is None:
        raise RuntimeError(f"{name}: nothing was explained")
    return time.perf_counter() - began
