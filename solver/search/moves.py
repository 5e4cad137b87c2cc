"""From one note of a part to the next: which slots are neighbours, and which states may follow one another."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from solver.brief.plan import PartPlan, Plan
from solver.rhythm.skeleton import NoteSlot
from solver.rules.rule import Rule
from solver.search.cp_sat import cp_model
from solver.search.state import State

Literal = cp_model.IntVar


@dataclass(frozen=True)
class Move:
    """Two neighbouring slots of a part (``a``, ``b``: home indices) and all (slot, slot) times at which they occur."""

    part: str
    a: int
    b: int
    times: tuple[tuple[int, int], ...]


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


def move_check(plan: Plan, part: PartPlan, rules: Sequence[Rule]) -> Callable[[int, State, int, State], bool]:
    """Whether the rules let a part go from a state at one slot (of the loop) to a state at another."""
    checks = [rule.allows_move for rule in rules if rule.allows_move is not None]

    # Most pairs of slots lie under the same chords, so the same questions come again and again.
    @cache
    def by_context(under: tuple[object, ...], slot_a: int, a: State, slot_b: int, b: State) -> bool:
        return all(check(plan, part, slot_a, a, slot_b, b) for check in checks)

    at = cache(lambda slot: context(plan, part, slot))
    first_with: dict[tuple[tuple[int, ...], ...], tuple[int, int]] = {}

    def allowed(slot_a: int, a: State, slot_b: int, b: State) -> bool:
        under = (at(slot_a), at(slot_b))
        slots = first_with.setdefault(under, (slot_a, slot_b))
        return by_context(under, slots[0], a, slots[1], b)

    return allowed


def context(plan: Plan, part: PartPlan, slot: int) -> tuple[int, ...]:
    """All that a rule on moves asks of a slot: the chord's span that sounds, the one that judges, and for a held shape
    when the hand is free."""
    home = plan.home_slot(part, slot)
    held = plan.hold_end(part, slot) if part.rings else 0
    return plan.span_at(slot).index, plan.span_at(home).index, held
