"""Variety: how far apart the arrangements of a take are, and whether one brief dries up.

The takes are of briefs drawn at random. A bass walk is the low part's moves; a contour, the directions of the lead's.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations
from statistics import mean, median

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.heard import Heard
from solver.search.pool import arrange
from solver.search.variety import distance, lead_line
from tests.bench.command import FERRY_LIGHTS
from tests.bench.figure import Bench, Figure
from tests.bench.made import Take

DISTINCT = 500
OF_A_RUN = 6
QUICK = 0.03  # deterministic seconds a rhythm where only being another arrangement counts


def figures(bench: Bench) -> list[Figure]:
    """Distances and how many different lines over all takes; distinct arrangements of one brief over its runs."""
    return [*of_takes(bench.takes), of_one_brief(bench)]


def of_takes(made: Iterable[Take]) -> list[Figure]:
    """Distances within each take, and how many different rhythms, contours and walks all takes have."""
    distances: list[float] = []
    rhythms, contours, walks = set(), set(), set()
    number = 0
    for take in made:
        pairs = combinations(take.arrangements, 2)
        distances += [distance(take.plan, one, other) for one, other in pairs]
        for arrangement in take.arrangements:
            number += 1
            rhythm, contour = lead_line(Heard(take.plan, arrangement))
            rhythms.add(rhythm)
            contours.add(contour)
            walks.add(bass_walk(take.plan, arrangement))
    walks.discard(())
    return [
        Figure("distance between arrangements of a take, mean", f"{mean(distances):.3f}", "", f"of {len(distances)}"),
        Figure("the same, median and least", f"{median(distances):.3f}, {min(distances):.3f}", "0.333 at least"),
        Figure("different lead rhythms", str(len(rhythms)), "", f"in {number} arrangements"),
        Figure("different lead contours", str(len(contours)), "", f"in {number} arrangements"),
        Figure("different bass walks", str(len(walks)), "", f"in {number} arrangements"),
    ]


def of_one_brief(bench: Bench) -> Figure:
    """Runs of one brief under seeds 0, 1, and on, until so many different arrangements were found or seeds run out."""
    plan = plan_from_text(FERRY_LIGHTS.read_text(encoding="utf-8"), "ferry-lights")
    found: set[Arrangement] = set()
    made = seed = 0
    while len(found) < DISTINCT and seed < DISTINCT:
        outcome = arrange(plan, count=OF_A_RUN, seed=seed, limit=QUICK, cores=1)
        made += len(outcome.arrangements)
        found |= {ranked.arrangement for ranked in outcome.arrangements}
        seed += 1
        if seed % 10 == 0:
            bench.tell(f"one brief again, {len(found)} of {DISTINCT}")
    words = f"{made} arrangements of {seed} runs"
    return Figure("distinct arrangements of ferry-lights", str(len(found)), f"{DISTINCT} at least", words)


def bass_walk(plan: Plan, arrangement: Arrangement) -> tuple[int, ...]:
    """Semitones of the low part's moves around the loop; () without one."""
    part = plan.bass
    return () if part is None else tuple(b.top - a.top for a, b in Heard(plan, arrangement).moves(part))
