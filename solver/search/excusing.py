"""Posting a rule that held notes break: each of its constraints may be given up, and as few as possible are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from solver.search.cp_sat import cp_model

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.solve import Watch


class Excusing:
    """Stands in for a CP-SAT model while a rule posts; ``kept`` gains a literal that enforces each constraint."""

    def __init__(self, cp: Any, kept: list[Any]) -> None:
        self._cp, self._kept = cp, kept

    def __getattr__(self, name: str) -> Any:
        if not name.startswith("new_"):
            raise AttributeError(f"an excused rule cannot post {name}")
        return getattr(self._cp, name)

    def add(self, relation: Any) -> None:
        """A linear relation."""
        self._enforce(self._cp.add(relation))

    def add_linear_constraint(self, expression: Any, low: int, high: int) -> None:
        """A sum between two bounds."""
        self._enforce(self._cp.add_linear_constraint(expression, low, high))

    def add_bool_or(self, *literals: Any) -> None:
        """One of the literals or more."""
        self._enforce(self._cp.add_bool_or(*literals))

    def add_implication(self, one: Any, other: Any) -> None:
        """The first implies the second."""
        self._enforce(self._cp.add_bool_or(one.negated(), other))

    def add_exactly_one(self, literals: Iterable[Any]) -> None:
        """One of the literals."""
        self.add_linear_constraint(cp_model.LinearExpr.sum(list(literals)), 1, 1)

    def add_at_most_one(self, literals: Iterable[Any]) -> None:
        """None or one of the literals."""
        self.add_linear_constraint(cp_model.LinearExpr.sum(list(literals)), 0, 1)

    def _enforce(self, constraint: Any) -> None:
        self._kept.append(self._cp.new_bool_var(""))
        constraint.only_enforce_if(self._kept[-1])


def give_up(model: PitchModel, solver: cp_model.CpSolver, watch: Watch) -> cp_model.CpSolverStatus:
    """Find how few constraints of excused rules can be given up, and let the model give up no more: which of them is
    left to what is best then. Where the status says FEASIBLE, fewer might have done.

    Nothing is given up where the status says that there is no solution even so, or that none was found.
    """
    model.cp.maximize(cp_model.LinearExpr.sum(model.kept))
    status = watch.solve(solver, model.cp)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        model.cp.add(cp_model.LinearExpr.sum(model.kept) >= round(solver.objective_value))
        model.begin_with(solver)
    return status
