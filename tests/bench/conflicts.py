"""How long a refusal takes, from the command's start: the search in vain, minimal conflicts, repairs verified."""

from __future__ import annotations

import subprocess
import sys
import time
from statistics import median

from tests.bench.command import ROOT
from tests.bench.figure import Bench, Figure
from tests.search.conflicts.infeasible import BRIEFS


def figures(bench: Bench) -> list[Figure]:
    """The median and the worst over all infeasible test briefs."""
    times = {name: median(bench.repeated(f"conflict, {name}", lambda name=name: _timed(name))) for name in BRIEFS}
    worst = max(times, key=lambda name: times[name])
    spread = f"{min(times.values()):.2f} to {max(times.values()):.2f}"
    what = f"refusal from start to verified repairs ({len(times)} briefs)"
    return [
        Figure(what, f"{median(times.values()):.2f} s", "2 s", spread),
        Figure(f"the slowest of them ({worst})", f"{times[worst]:.2f} s", "10 s"),
    ]


def _timed(name: str) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-m", "tests.bench.conflicts", name], cwd=ROOT, check=True)
    return time.perf_counter() - began


def _refused(name: str) -> None:
    """The child: all that ``arrange`` does with a brief before it has an arrangement, or says why there is none."""
    from solver.commands.interrupt import Interrupt
    from solver.commands.searching import Request, search

    source, plan = BRIEFS[name].read()
    with Interrupt() as interrupt:
        searched = search(plan, Request(plan.count, plan.seed, source=source), interrupt, lambda progress: None)
    if not searched.because:
        raise RuntimeError(f"{name}: nothing was explained")


if __name__ == "__main__":
    _refused(sys.argv[1])
