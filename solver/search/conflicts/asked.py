"""What rules say of single states and of moves, remembered: a conflict asks the same of many models of one plan.

All that these rules read of a part is its range (single states alone), role, instrument, texture, figure and leap; of a
time, the chords and scales that sound and judge, and the place in the bar (see ``context``).
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence
from dataclasses import replace

from solver.brief.plan import PartPlan, Plan
from solver.rules.rule import Rule
from solver.search.moves import States, Times, context
from solver.search.state import State

Fits = tuple[tuple[str, frozenset[State]], ...]  # names of rules, each with the states that it allows
Table = tuple[tuple[bool, ...], ...]


class Asked:
    """What was asked of the rules under the chords and the metre of one plan."""

    def __init__(self) -> None:
        self._fits: dict[Hashable, tuple[States, Fits]] = {}
        self._tables: dict[Hashable, Table] = {}
        self._moves: dict[Hashable, dict[tuple[State, State], bool]] = {}

    def fits(
        self,
        plan: Plan,
        part: PartPlan,
        onsets: Sequence[int],
        states: States,
        rules: tuple[Rule, ...],
        posed: Collection[str],
        held: bool,
    ) -> tuple[States, Fits]:
        """The states that rules leave a slot that sounds at some onsets, one rule after the other; those that are
        ``posed`` take none away, but are told with the states that they allow. Where notes are ``held``, a rule that
        allows none of them is passed over."""
        grid = plan.metre.grid
        times = frozenset((slot % grid, context(plan, part, slot, slot)) for slot in onsets)
        key = (_without_rhythm(part), rules, tuple(posed), times, states, held)
        if key not in self._fits:
            told: list[tuple[str, frozenset[State]]] = []
            left = states
            for rule in rules:
                fits = frozenset(s for s in left if all(_allows(rule, plan, part, at, s) for at in onsets))
                if not fits and held:
                    continue
                if rule.name in posed:
                    told.append((rule.name, fits))
                else:
                    left = tuple(state for state in left if state in fits)
            self._fits[key] = left, tuple(told)
        return self._fits[key]

    def table(self, plan: Plan, part: PartPlan, times: Times, rules: tuple[Rule, ...], a: States, b: States) -> Table:
        """For each state before a move and each after it, whether rules allow the move whenever it occurs."""
        contexts = {context(plan, part, *time): time for time in times}
        key = (replace(_without_rhythm(part), low=0, high=0), rules, frozenset(contexts))
        if (key, a, b) not in self._tables:
            checks = [rule.allows_move for rule in rules if rule.allows_move is not None]
            known = self._moves.setdefault(key, {})
            for pair in ((one, other) for one in a for other in b):
                if pair not in known:
                    at = contexts.values()
                    known[pair] = all(check(plan, part, s, pair[0], t, pair[1]) for s, t in at for check in checks)
            self._tables[key, a, b] = tuple(tuple(known[one, other] for other in b) for one in a)
        return self._tables[key, a, b]


def _without_rhythm(part: PartPlan) -> PartPlan:
    return replace(part, notes_per_bar=(0, 0), repeat_every=None, vary_notes=(0, 0))


def _allows(rule: Rule, plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    assert rule.allows_state is not None
    return rule.allows_state(plan, part, slot, state)
