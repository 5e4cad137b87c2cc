"""What the search remembers is bounded, and the rest is freed: a page solves brief after brief in one process."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from functools import _lru_cache_wrapper  # pyright: ignore[reportPrivateUsage]

import pytest

from solver.brief.planning import plan_from_text
from solver.rhythm.skeletons import skeletons
from solver.search.conflicts.explaining import explain
from solver.search.conflicts.reasons import Reasons
from solver.search.outcome import NoArrangement
from solver.search.pool import arrange
from solver.search.solve import Watch, solve_skeleton
from tests.search.conflicts.infeasible import BRIEFS

FOLDERS = ("music", "rhythm", "rules", "search")
BRIEF = 'key = "A minor"\nbars = 1\nchords = ["Am"]\ngrid = 4\n[parts.low]\n[parts.strum]\nrole = "chords"\n'


def test_every_cache_of_the_search_has_a_bound() -> None:
    arrange(plan_from_text(BRIEF, "bounds"), count=1, cores=1)
    # By its type: to ask a weak reference for its class fails where what it refers to is gone.
    caches = [one for one in gc.get_objects() if type(one) is _lru_cache_wrapper]
    ours = [one for one in caches if one.__module__.startswith(tuple(f"solver.{folder}." for folder in FOLDERS))]
    named = [one for one in ours if one.__qualname__ in vars(sys.modules[one.__module__])]
    assert len(named) >= 8
    # What a function keeps for itself goes with it.
    assert [one.__qualname__ for one in named if one.cache_info().maxsize is None] == []


def searched() -> None:
    arrange(plan_from_text(BRIEF + '[parts.lead]\nornaments = "many"\n', "found"), count=2, cores=2)


def refuted() -> None:
    plan = plan_from_text(BRIEF, "refuted")
    skeleton, watch = next(iter(skeletons(plan, 0))), Watch(lambda: False)
    best = solve_skeleton(plan, skeleton, watch)
    assert solve_skeleton(plan, skeleton, watch, above=best.total).arrangement is None
    watch.close()


def refused() -> None:
    source, plan = BRIEFS["no root in the low range"].read()
    learnt = explained = None
    try:
        arrange(plan, count=1, cores=1, reasons=lambda stopped: Reasons(source, stopped))
    except NoArrangement as none:
        learnt, explained = none.why, explain(source, plan, none)
    assert learnt is not None
    assert explained is not None


@pytest.mark.parametrize("search", [searched, refuted, refused])
def test_a_search_leaves_nothing_that_refers_to_itself(search: Callable[[], None]) -> None:
    """Such things, models and what was learnt of a conflict above all, would stay until Python looks for cycles."""
    search()
    gc.collect()
    gc.disable()
    gc.set_debug(gc.DEBUG_SAVEALL)
    try:
        search()
        gc.collect()
        left = {str(type(one)) for one in gc.garbage if type(one).__module__.startswith(("solver.", "ortools."))}
    finally:
        gc.set_debug(0)
        gc.enable()
        gc.garbage.clear()
    assert left == set()
