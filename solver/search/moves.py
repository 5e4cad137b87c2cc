"""From one note of a part to the next: which slots are neighbours, and which states may follow one another."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from solver.brief.plan import PartPlan, Plan
from solver.rhythm.skeleton import NoteSlot
from solver.rules.rule import Rule
from solver.search.cp_sat import cp_model
from solver.search.state import State

Literal = cp_model.IntVar
States = tuple[State, ...]
Way = tuple[int, int]  # indices of a state and the next
Times = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Move:
    """Two neighbouring slots of a part (``a``, ``b``: home indices) and all (slot, slot) times at which they occur."""

    part: str
    a: int
    b: int
    times: Times


@dataclass(frozen=True, eq=False)
class Arc:
    """One way to go from a state to the next; of struck chords, from all with one top note to all with another."""

    a: State
    b: State
    literal: Literal


def by_kind(
    part: PartPlan, states: Iterable[State], literals: Iterable[Literal]
) -> tuple[tuple[State, ...], tuple[list[Literal], ...]]:
    """The states that a move tells apart, and the literals of each.

    No rule and no merit asks more of a move of struck chords than their top notes. A chord has up to some 500 voicings
    but hardly 20 top notes, and arcs between all pairs of voicings were most of a model.
    """
    kinds: dict[State, list[Literal]] = {}
    for state, literal in zip(states, literals, strict=True):
        kinds.setdefault(state if part.is_line else State((state.top,)), []).append(literal)
    return tuple(kinds), tuple(kinds.values())


def moves_between(part: PartPlan, slots: Sequence[NoteSlot]) -> tuple[Move, ...]:
    """The different pairs of neighbouring slots of a part, round the loop; none where it has a single slot."""
    times: dict[tuple[int, int], list[tuple[int, int]]] = {}
    if len(slots) > 1:
        for slot, following in zip(slots, [*slots[1:], slots[0]], strict=True):
            times.setdefault((slot.home, following.home), []).append((slot.onset, following.onset))
    return tuple(Move(part.name, a, b, tuple(at)) for (a, b), at in times.items())


def ways(plan: Plan, part: PartPlan, rules: Sequence[Rule]) -> Callable[[Move, States, States], tuple[Way, ...]]:
    """What finds the ways of a move, given the kinds of state at its two slots: the pairs of indices between which
    the rules let a part go, whenever the move occurs."""
    checks = [rule.allows_move for rule in rules if rule.allows_move is not None]

    # Most moves lie under the same chords, so the same questions come again and again.
    @cache
    def under(contexts: frozenset[Hashable], times: Times, a: States, b: States) -> tuple[Way, ...]:
        def may(one: State, other: State) -> bool:
            return all(check(plan, part, slot_a, one, slot_b, other) for slot_a, slot_b in times for check in checks)

        return tuple((i, j) for i, one in enumerate(a) for j, other in enumerate(b) if may(one, other))

    first_under: dict[frozenset[Hashable], Times] = {}

    def of(move: Move, a: States, b: States) -> tuple[Way, ...]:
        told = {context(plan, part, *time): time for time in move.times}
        contexts = frozenset(told)
        return under(contexts, first_under.setdefault(contexts, tuple(told.values())), a, b)

    return of


def context(plan: Plan, part: PartPlan, slot_a: int, slot_b: int) -> Hashable:
    """All that a rule on moves reads of a time: the chord and scale that sound at its slots, those that judge, and
    for a broken chord whether one hand holds both."""
    slots = (slot_a, slot_b, plan.home_slot(part, slot_a), plan.home_slot(part, slot_b))
    spans = [plan.span_at(slot) for slot in slots]
    one_hand = part.rings and plan.hold_end(part, slot_a) == plan.hold_end(part, slot_b)
    return tuple((span.chord.symbol, span.scale) for span in spans), one_hand
