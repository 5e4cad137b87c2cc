"""Rhythms near one."""

from __future__ import annotations

from solver.brief.planning import plan_from_text
from solver.rhythm.neighbours import neighbours
from solver.rhythm.skeleton import Skeleton
from tests.rework_briefs import NAME, TEXT, first

PLAN = plan_from_text(TEXT, NAME)


def bars(skeleton: Skeleton, part: str) -> list[set[int]]:
    grid = PLAN.metre.grid
    return [{at % grid for at in skeleton.onsets[part] if at // grid == bar} for bar in range(PLAN.bars)]


def test_the_same_first_then_one_bar_of_one_part() -> None:
    own, *others = neighbours(PLAN, first(), 0)
    for part in PLAN.parts:
        assert own.onsets[part.name] == tuple(note.onset for note in first().part(part.name))
    assert len(others) > 3
    for other in others:
        (changed,) = [part for part in PLAN.parts if other.onsets[part.name] != own.onsets[part.name]]
        different = {bar for bar in range(PLAN.bars) if bars(own, changed.name)[bar] != bars(other, changed.name)[bar]}
        statement = changed.repeat_every or PLAN.bars
        assert different == set(range(min(different), PLAN.bars, statement))


def test_a_seed_has_its_own_order() -> None:
    def order(seed: int) -> list[dict[str, tuple[int, ...]]]:
        return [skeleton.onsets for skeleton in neighbours(PLAN, first(), seed)]

    assert order(1) == order(1)
    assert order(1) != order(2)
