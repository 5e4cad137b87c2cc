"""A CP-SAT model that remembers the constraints a rule posts, so that each can be put under an assumption."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from solver.search.cp_sat import cp_model

Place = tuple[str, int]  # part and home index of a slot


class Recording:
    """Stands in for ``CpModel`` while rules post. ``take`` gives what they made.

    Constraints that cannot be put under an assumption (exactly one, at most one) are posted as sums instead.
    """

    def __init__(self, cp: cp_model.CpModel) -> None:
        self._cp = cp
        self._taken: list[tuple[cp_model.Constraint, frozenset[Place]]] = []
        self.asked: set[Place] = set()  # what was looked at since the last constraint
        self.on = False

    def __getattr__(self, name: str) -> Any:
        return getattr(self._cp, name)

    def take(self) -> list[tuple[cp_model.Constraint, frozenset[Place]]]:
        """The constraints recorded since this was asked last, each with what had been ``asked`` before it."""
        taken, self._taken = self._taken, []
        return taken

    def _keep(self, constraint: cp_model.Constraint) -> cp_model.Constraint:
        if self.on:
            self._taken.append((constraint, frozenset(self.asked)))
            self.asked.clear()
        return constraint

    def add(self, bounded: Any) -> cp_model.Constraint:
        """As in CpModel."""
        return self._keep(self._cp.add(bounded))

    def add_linear_constraint(self, expression: Any, low: int, high: int) -> cp_model.Constraint:
        """As in CpModel."""
        return self._keep(self._cp.add_linear_constraint(expression, low, high))

    def add_bool_or(self, *literals: Any) -> cp_model.Constraint:
        """As in CpModel."""
        return self._keep(self._cp.add_bool_or(*literals))

    def add_bool_and(self, *literals: Any) -> cp_model.Constraint:
        """As in CpModel."""
        return self._keep(self._cp.add_bool_and(*literals))

    def add_implication(self, one: Any, other: Any) -> cp_model.Constraint:
        """As in CpModel, as a clause."""
        return self.add_bool_or([one.negated(), other])

    def add_exactly_one(self, *literals: Any) -> cp_model.Constraint:
        """As in CpModel, as a sum."""
        return self.add(cp_model.LinearExpr.sum(_flat(literals)) == 1)

    def add_at_most_one(self, *literals: Any) -> cp_model.Constraint:
        """As in CpModel, as a sum."""
        return self.add(cp_model.LinearExpr.sum(_flat(literals)) <= 1)


def _flat(literals: tuple[Any, ...]) -> list[Any]:
    if len(literals) == 1 and isinstance(literals[0], Iterable):
        return list(literals[0])
    return list(literals)


def places_of(constraints: Iterable[cp_model.Constraint], known: Mapping[int, Iterable[Place]]) -> list[set[Place]]:
    """What each of a rule's constraints is about, by what the variables of the model are known to be about.

    A variable that the rule made for itself is about whatever those are that stand in a constraint with it.
    """
    within = [variables(constraint) for constraint in constraints]
    own: dict[int, set[Place]] = {}
    fresh = [(indices, {index for index in indices if index not in known}) for indices in within]
    fresh = [(indices, unknown) for indices, unknown in fresh if unknown]

    def about(indices: set[int]) -> set[Place]:
        return {place for index in indices for place in known.get(index, own.get(index, ()))}

    changed = True
    while changed:
        changed = False
        for indices, unknown in fresh:
            places = about(indices)
            for index in unknown:
                if not places <= own.setdefault(index, set()):
                    own[index] |= places
                    changed = True
    return [about(indices) for indices in within]


def variables(constraint: cp_model.Constraint) -> set[int]:
    """Indices of the variables that a linear or Boolean constraint is about, its enforcement apart."""
    proto = constraint.proto
    # Only the kind that is there may be looked at: to read another one is to make it.
    if proto.has_linear():
        indices = proto.linear.vars
    elif proto.has_bool_or():
        indices = proto.bool_or.literals
    else:
        indices = proto.bool_and.literals
    return {index if index >= 0 else -index - 1 for index in indices}
