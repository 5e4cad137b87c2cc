"""One reduced problem in this program, python-constraint2, MiniZinc with Gecode, and CP-SAT as a textbook poses it.

Each has the same variables, rules and rewards (``side_by_side.problem``), one core, and 30 CPU seconds; each solution
is held against the rules. This program's times count its asking of the rules too, which the others are given as tables.
Beside them stands one Viterbi pass per part, a bound from above. Everything runs once, however often is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from solver.brief.planning import plan_from_text
from solver.rhythm.skeletons import skeletons
from tests.bench.command import FERRY_LIGHTS
from tests.bench.figure import Bench, Figure
from tests.bench.growth import with_bars
from tests.bench.side_by_side import backtracking, flow, gecode, textbook, viterbi
from tests.bench.side_by_side.problem import Reduced, reduced_plan, reduced_problem
from tests.bench.side_by_side.runs import Run, Stopwatch

BARS = (4, 8, 16)
LIMIT = 30.0  # CPU seconds
OURS = "this program"
AIMS = {8: "5 times", 16: "the only one"}

Others = Mapping[str, Callable[[Reduced, bool], Run]]
OTHERS: Others = {
    "python-constraint2": lambda reduced, first: backtracking.solve(reduced, LIMIT, first=first),
    "MiniZinc with Gecode": lambda reduced, first: gecode.solve(reduced, LIMIT, first=first),
    "CP-SAT, textbook": lambda reduced, first: textbook.solve(reduced, LIMIT, first=first),
}


class Disagree(Exception):
    """Two solvers have proved different best totals, so they did not solve the same problem."""


def figures(bench: Bench) -> list[Figure]:
    """First and best solutions, ratios, and the bound, for each length."""
    others = dict(OTHERS)
    if gecode.missing():
        bench.tell(gecode.missing())
        del others["MiniZinc with Gecode"]
    return [figure for bars in BARS for figure in of_length(bench, bars, others)]


def of_length(bench: Bench, bars: int, others: Others) -> list[Figure]:
    """The figures of one number of bars. Raises Disagree."""
    plan = reduced_plan(plan_from_text(with_bars(FERRY_LIGHTS.read_text(encoding="utf-8"), bars), "ferry-lights"))
    skeleton = next(skeletons(plan, plan.seed))
    reduced = reduced_problem(plan, skeleton)
    bench.tell(f"reduced, {bars} bars: {OURS}")
    first, best = flow.solve(plan, skeleton, reduced, LIMIT)
    firsts, bests = {OURS: first}, {OURS: best}
    for name, solve in others.items():
        bench.tell(f"reduced, {bars} bars: {name}")
        firsts[name] = bests[name] = solve(reduced, True)
        if firsts[name].total is not None:  # who finds nothing in time finds no best either
            bests[name] = solve(reduced, False)
    agreed(bests)
    stopwatch = Stopwatch(LIMIT)
    bound = viterbi.bound(reduced, skeleton)
    passes = stopwatch.seconds
    head = f"{bars} bars, {skeleton.notes} notes ({len(reduced.domains)} of their own)"
    sooner = f"{bars} bars, first: soonest other over {OURS}", ratio(firsts, lambda run: run.total is not None)
    better = f"{bars} bars, best: soonest other over {OURS}", ratio(bests, lambda run: run.proved)
    return [
        *(Figure(f"{head}, first: {name}", _first(run)) for name, run in firsts.items()),
        Figure(*sooner),
        *(Figure(f"{bars} bars, best: {name}", _best(run)) for name, run in bests.items()),
        Figure(*better, AIMS.get(bars, "")),
        Figure(f"{bars} bars: a Viterbi pass per part", f"{passes:.3f} s", "", f"bound {bound / 1000:.1f}"),
    ]


def agreed(bests: Mapping[str, Run]) -> None:
    """Raise Disagree where two proved totals differ, or one that was found is above a proved one."""
    proved = {run.total for run in bests.values() if run.proved}
    found = {run.total for run in bests.values() if run.total is not None}
    if len(proved) > 1 or (proved and max(found) not in proved):
        raise Disagree(", ".join(f"{name}: {run.total}" for name, run in bests.items()))


def ratio(runs: Mapping[str, Run], is_done: Callable[[Run], bool]) -> str:
    """How many times as long as this program the quickest other takes; at least that where none is done in time."""
    if not is_done(runs[OURS]):
        return f"not within {LIMIT:.0f} s here"
    done = [run.seconds for name, run in runs.items() if name != OURS and is_done(run)]
    if not done:
        return f"over {LIMIT / runs[OURS].seconds:.0f} times: no other within {LIMIT:.0f} s"
    return f"{min(done) / runs[OURS].seconds:.1f} times"


def _first(run: Run) -> str:
    return f"{run.seconds:.3f} s" if run.total is not None else f"not within {LIMIT:.0f} s"


def _best(run: Run) -> str:
    if run.proved:
        return f"{run.seconds:.2f} s"
    found = "nothing found" if run.total is None else f"best found {run.total / 1000:.1f}"
    return f"not within {LIMIT:.0f} s, {found}"
