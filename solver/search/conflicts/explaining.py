"""Why a brief has no arrangement: minimal conflicts among its lines, and changes that help, each tried by solving.

explanation = explain(source, plan, none)  # ``none`` is what the search raised
print("\\n".join(explanation_lines(explanation, source)))
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.search.conflicts.changes import Change
from solver.search.conflicts.conflicts import Tried, conflicts_of
from solver.search.conflicts.finder import NotMinimal
from solver.search.conflicts.lines import Line
from solver.search.conflicts.placing import Collision, collision_of
from solver.search.conflicts.questions import Undecided
from solver.search.conflicts.reasons import Reasons
from solver.search.conflicts.repairs import repairs_of

if TYPE_CHECKING:
    from solver.search.outcome import NoArrangement


@dataclass(frozen=True)
class Conflict:
    """Lines that cannot hold together, though any but one of them can; where; and what helps, nearest first."""

    lines: tuple[Line, ...]
    collision: Collision
    repairs: tuple[Change, ...]


@dataclass(frozen=True)
class Explanation:
    """All conflicts of a brief. ``rhythms`` is the number on which each was verified, 0 where no rhythm exists at all;
    ``every`` says that the brief allows no others. With several conflicts a repair was tried together with the first
    repair of each other."""

    conflicts: tuple[Conflict, ...]
    rhythms: int
    every: bool


def explain(
    source: Source, plan: Plan, none: NoArrangement, stopped: Callable[[], bool] = lambda: False
) -> Explanation | None:
    """Why a search for a plan found nothing in the rhythms that it tried; None where that cannot be told, or was not
    before it ``stopped``."""
    tried = Tried(tuple(skeleton.onsets for skeleton in none.tried), none.every)
    plan = replace(plan, excused=none.plan.excused) if none.plan else plan
    reasons = none.why if isinstance(none.why, Reasons) else Reasons(source, stopped)
    oracle = reasons.about(plan, tried.rhythms)
    try:
        found = conflicts_of(oracle, tried)
        if not found:
            return None
    except (Undecided, NotMinimal):
        return None
    collisions = [collision_of(oracle, conflict) for conflict in found]
    try:
        repairs = repairs_of(found, source, plan, tried, oracle)
    except Undecided:  # what collides is known all the same
        repairs = [() for _ in found]
    conflicts = (Conflict(*parts) for parts in zip(found, collisions, repairs, strict=True))
    return Explanation(tuple(conflicts), len(tried.rhythms), tried.every or oracle.of_rhythm)
