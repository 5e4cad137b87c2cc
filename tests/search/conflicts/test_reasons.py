"""What is learnt of the first rhythms in vain tells of the others, and changes nothing of what is found."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton
from solver.search.conflicts.reasons import Reasons
from solver.search.outcome import NoArrangement
from solver.search.pool import ASKS_AFTER, TRIED_IN_VAIN, arrange
from solver.search.solve import Solved, Watch
from tests.search.conflicts.infeasible import BRIEFS
from tests.search.conflicts.refusals import refusal

NAME = "no chord in reach"


@dataclass
class Fake:
    """Refutes what it is told to, and notes what it is asked."""

    says: bool
    learnt: list[int] = field(default_factory=list)
    asked: list[Skeleton] = field(default_factory=list)

    def learn(self, plan: Plan, skeletons: object) -> None:
        self.learnt.append(len(skeletons))  # pyright: ignore[reportArgumentType]

    def refutes(self, skeleton: Skeleton) -> bool:
        self.asked.append(skeleton)
        return self.says


@pytest.mark.parametrize("name", [NAME, "a locked bar to which nothing can rise"])
def test_every_rhythm_is_tried_or_refuted(name: str) -> None:
    source, plan = BRIEFS[name].read()
    none = refusal(plan, lambda stopped: Reasons(source, stopped))
    alone = refusal(plan)
    assert len(none.tried) == TRIED_IN_VAIN
    assert [skeleton.onsets for skeleton in none.tried] == [skeleton.onsets for skeleton in alone.tried]
    assert (none.undecided, str(none)) == (0, str(alone))


def test_what_is_refuted_is_not_tried() -> None:
    fake = Fake(True)
    none = refusal(BRIEFS[NAME].read()[1], lambda stopped: fake)
    assert fake.learnt == [ASKS_AFTER]
    assert len(fake.asked) >= TRIED_IN_VAIN - ASKS_AFTER
    assert len(none.tried) == TRIED_IN_VAIN


def test_what_is_not_refuted_is_tried_and_learnt_from() -> None:
    fake = Fake(False)
    refusal(BRIEFS[NAME].read()[1], lambda stopped: fake)
    assert fake.learnt == list(range(ASKS_AFTER, ASKS_AFTER + len(fake.learnt)))
    assert 1 < len(fake.learnt) < TRIED_IN_VAIN


@pytest.mark.parametrize("says", [True, False])
def test_what_stayed_open_is_decided_by_what_was_learnt_later(says: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Skeleton] = []

    def open_at_first(plan: Plan, skeleton: Skeleton, watch: Watch, **options: Any) -> Solved:
        begun.append(skeleton)
        return Solved(skeleton, None, None, 0, 0, proved=False, decided=len(begun) > 1)

    monkeypatch.setattr("solver.search.pool.solve_skeleton", open_at_first)
    fake = Fake(says)
    with pytest.raises(NoArrangement) as none:
        arrange(BRIEFS[NAME].read()[1], cores=1, reasons=lambda stopped: fake)
    assert fake.asked[-1] is begun[0]
    assert none.value.undecided == (0 if says else 1)


def test_a_rhythm_that_suits_is_not_refuted_and_the_number_of_cores_changes_nothing() -> None:
    source, plan = BRIEFS["no root in the low range"].read()
    tried = refusal(plan, lambda stopped: Reasons(source, stopped)).tried
    with pytest.raises(NoArrangement) as none:
        arrange(plan, cores=3, reasons=lambda stopped: Reasons(source, stopped))
    assert [one.onsets for one in none.value.tried] == [one.onsets for one in tried]
    fine = BRIEFS["no root in the low range"]
    other_source, other = type(fine)(fine.keys, {"lead": "", "low": ""}).read()
    reasons = Reasons(other_source)
    reasons.learn(other, tried[:2])
    assert not any(reasons.refutes(skeleton) for skeleton in tried[:3])


def test_once_time_is_up_nothing_is_learnt() -> None:
    source, plan = BRIEFS[NAME].read()
    tried = refusal(plan).tried
    reasons = Reasons(source, lambda: True)
    reasons.learn(plan, tried[:2])
    assert not reasons.refutes(tried[2])
