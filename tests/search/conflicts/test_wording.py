"""An explanation as values: what locks are left is written as locks are."""

from __future__ import annotations

from dataclasses import replace

from solver.search.conflicts.changes import Change
from solver.search.conflicts.explaining import Conflict, Explanation
from solver.search.conflicts.placing import Collision
from solver.search.conflicts.wording import explanation_data
from tests.search.conflicts.infeasible import BRIEFS


def test_locks_that_are_left_are_written_as_locks() -> None:
    source, plan = BRIEFS["a locked bar to which nothing can rise"].read()
    (lock,) = plan.held
    left = (replace(lock, start=0, end=8), replace(lock, start=8, end=16, aspect="pitch"))
    conflict = Conflict((), Collision(None, ()), (Change(1, "unlock low", "all", held=left), Change(2, "x", "y")))
    (facts,) = explanation_data(Explanation((conflict,), 1, False), source, plan)
    unlocking, other = facts["repairs"]
    assert unlocking["locks"] == ["low:1", "low:2:pitch"]
    assert "locks" not in other


def test_what_the_brief_takes_from_files_is_no_lock() -> None:
    source, plan = BRIEFS["a locked bar to which nothing can rise"].read()
    own = replace(plan.held[0], words='briefs/quay.toml:12: from = "my-lead.mid"')
    plan = replace(plan, held=(own,))
    conflict = Conflict((), Collision(None, ()), (Change(1, "unlock low", "all", held=(own,)),))
    (facts,) = explanation_data(Explanation((conflict,), 1, False), source, plan)
    assert facts["repairs"][0]["locks"] == []
