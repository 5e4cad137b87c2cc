"""What the search remembers is bounded: a page solves brief after brief in one process."""

from __future__ import annotations

import gc
import sys
from functools import _lru_cache_wrapper  # pyright: ignore[reportPrivateUsage]

from solver.brief.planning import plan_from_text
from solver.search.pool import arrange

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
