"""The exact pitch model of one rhythm skeleton: a layered flow of states for each part, in CP-SAT.

A literal for each (slot, state), a literal for each arc between the states of neighbouring slots, flow conservation
between them; the last slot's arcs lead back to the first, for it is a loop. Moves that no rule allows are arcs that
do not exist. Slots of a repeat share the literals of the first statement. Rules and merits post through this class.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import product
from typing import Any

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.held import Held
from solver.rhythm.held_notes import Stroke, wanted_strokes
from solver.rhythm.skeleton import NoteSlot, Skeleton
from solver.rules import every_rule
from solver.rules.lead_pitches import counted
from solver.rules.rule import Rule
from solver.search.cp_sat import Model, cp_model
from solver.search.excusing import Excusing
from solver.search.held_states import follows, held_states, is_in_place, refusing_move, refusing_state, ringing_pitches
from solver.search.moves import Arc, Literal, Move, States, Way, by_kind, moves_between, ways
from solver.search.state import State
from solver.search.states import candidate_states
from solver.search.tables import arcs_along, lost_together


class NoState(Exception):
    """A slot is left without any state, so this skeleton has no solution."""


class Stopped(Exception):
    """The building of a model was asked to end."""


class PitchModel:
    """Variables of one skeleton's pitches, and the lookups that rules and merits need to post.

    ``stopped`` is asked often while it is built, and ends that. Raises NoState, Stopped.
    """

    def __init__(
        self,
        plan: Plan,
        skeleton: Skeleton,
        rules: tuple[Rule, ...] | None = None,
        stopped: Callable[[], bool] = lambda: False,
    ) -> None:
        self.plan = plan
        self.skeleton = skeleton
        self.cp: Any = Model()
        self._hard: Any = self.cp  # what a literal means is never given up, even where a rule is
        self._states: dict[tuple[str, int], tuple[State, ...]] = {}
        self._literals: dict[tuple[str, int], tuple[Literal, ...]] = {}
        self._by_top: dict[tuple[str, int], dict[int, list[Literal]]] = {}
        self._moves: dict[str, tuple[Move, ...]] = {}
        self._arcs: dict[tuple[str, int, int], tuple[Arc, ...]] = {}
        self._own: dict[tuple[str, int, int], Literal] = {}
        self._used: dict[tuple[str, frozenset[int]], dict[int, Literal]] = {}
        self._same: dict[tuple[str, int, int], Literal] = {}
        self._rules = every_rule() if rules is None else rules
        self._held: dict[tuple[str, int], tuple[Held, Stroke]] = {}
        self.excused: set[str] = set(plan.excused)  # names of the rules that held notes break
        self.kept: list[Literal] = []  # each says that one constraint of an excused rule holds
        self._stopped = stopped
        self._build()

    # -- building ---------------------------------------------------------------------------------------------

    def _build(self) -> None:
        for part in self.plan.parts:
            self._make_states(part)
            self._make_arcs(part)
        for rule in self._rules:
            if rule.post is not None:
                self.go_on()
                self.cp = Excusing(self._hard, self.kept) if rule.name in self.plan.excused else self._hard
                rule.post(self)
        self.cp = self._hard

    def go_on(self) -> None:
        """Raise Stopped where the building is to end."""
        if self._stopped():
            raise Stopped

    def _make_states(self, part: PartPlan) -> None:
        slots = self.skeleton.slots[part.name]
        sharing: dict[int, list[NoteSlot]] = {}
        for slot in slots:
            sharing.setdefault(slot.home, []).append(slot)
        checks = [rule.allows_state for rule in self._rules if rule.allows_state is not None]
        wanted = wanted_strokes(self.plan, part, self.skeleton.onsets[part.name]) if self.plan.held else {}
        ringing = ringing_pitches(part, self.skeleton.onsets[part.name], wanted)
        for home, shared in sharing.items():
            held = next((wanted[slot.index] for slot in shared if slot.index in wanted), None)
            every = (
                held_states(self.plan, part, slots[home].onset, *held)
                if held
                else candidate_states(self.plan, part, slots[home].onset)
            )
            states = tuple(
                state
                for state in every
                if all(check(self.plan, part, slot.onset, state) for slot in shared for check in checks)
                and not any(state.top in ringing.get(slot.onset, ()) for slot in shared)
            )
            if held and is_in_place(held, shared):
                self._held[part.name, home] = held
                self.excused |= refusing_state(self._rules, self.plan, part, [slot.onset for slot in shared], every)
                states = states or every
            if not states:
                raise NoState(f"{part.name}, {self.plan.place(slots[home].onset)}")
            literals = tuple(self.cp.new_bool_var("") for _ in states)
            self.cp.add_exactly_one(literals)
            self._states[part.name, home], self._literals[part.name, home] = states, literals

    def _make_arcs(self, part: PartPlan) -> None:
        self._moves[part.name] = moves_between(part, self.skeleton.slots[part.name])
        ways_of = ways(self.plan, part, self._rules)
        for move in self._moves[part.name]:
            self.go_on()
            self._make_flow(part, move, ways_of)

    def _make_flow(
        self, part: PartPlan, move: Move, ways_of: Callable[[Move, States, States], tuple[Way, ...]]
    ) -> None:
        before, after = (
            by_kind(part, self._states[part.name, home], self._literals[part.name, home]) for home in (move.a, move.b)
        )
        found = ways_of(move, before[0], after[0])
        if not found and self._is_forced(part, move):
            self.excused |= refusing_move(self._rules, self.plan, part, move.times, before[0], after[0])
            found = tuple(product(range(len(before[0])), range(len(after[0]))))
        self._arcs[part.name, move.a, move.b] = arcs_along(self.cp, found, before, after)

    def _is_forced(self, part: PartPlan, move: Move) -> bool:
        """Whether held notes alone make the move: nothing could come between them."""
        a, b = self._held.get((part.name, move.a)), self._held.get((part.name, move.b))
        return a is not None and b is not None and any(follows(self.plan, part, a, b, *time) for time in move.times)

    # -- lookups for rules and merits -------------------------------------------------------------------------

    def states(self, part: PartPlan, index: int) -> tuple[State, ...]:
        """The states of a slot, given by its home index."""
        return self._states[part.name, index]

    def literals(self, part: PartPlan, index: int, fits: Callable[[State], bool]) -> list[Literal]:
        """Literals of the states of a slot that fit; ``index`` may be any of the part's slots."""
        home = self.skeleton.slots[part.name][index].home
        pairs = zip(self._states[part.name, home], self._literals[part.name, home], strict=True)
        return [literal for state, literal in pairs if fits(state)]

    def by_top(self, part: PartPlan, index: int) -> dict[int, list[Literal]]:
        """The literals of a slot, given by its home index, for each of its top notes, from low to high."""
        key = (part.name, index)
        if key not in self._by_top:
            found: dict[int, list[Literal]] = {}
            for state, literal in sorted(self.states_with_literals(part, index), key=lambda pair: pair[0].top):
                found.setdefault(state.top, []).append(literal)
            self._by_top[key] = found
        return self._by_top[key]

    def states_with_literals(self, part: PartPlan, index: int) -> Iterable[tuple[State, Literal]]:
        """The states of a slot, given by its home index, each with its literal."""
        return zip(self._states[part.name, index], self._literals[part.name, index], strict=True)

    def moves(self, part: PartPlan) -> tuple[Move, ...]:
        """The different pairs of neighbouring slots of a part."""
        return self._moves[part.name]

    def arcs(self, move: Move) -> tuple[Arc, ...]:
        """The arcs of a move."""
        return self._arcs[move.part, move.a, move.b]

    def arcs_between(self, part: PartPlan, before: int, after: int) -> tuple[Arc, ...]:
        """The arcs from one slot to the next one, by index."""
        slots = self.skeleton.slots[part.name]
        return self._arcs[part.name, slots[before].home, slots[after].home]

    def homes_in_span(self, part: PartPlan, span: ChordSpan) -> list[int]:
        """Home indices of the slots that sound in a chord's time."""
        return sorted(
            {slot.home for slot in self.skeleton.slots[part.name] if slot.onset < span.end and slot.end > span.start}
        )

    def held_together(self, part: PartPlan) -> list[tuple[int, ...]]:
        """Sets of home indices of slots between the same chord changes; each different set once."""
        held: dict[int, set[int]] = {}
        for slot in self.skeleton.slots[part.name]:
            held.setdefault(self.plan.hold_end(part, slot.onset), set()).add(slot.home)
        return sorted({tuple(sorted(homes)) for homes in held.values()})

    def pitch_classes(self, part: PartPlan, span: ChordSpan) -> list[int]:
        """Pitch classes that a part might play in a chord's time."""
        homes = self.homes_in_span(part, span)
        return sorted({pitch % 12 for home in homes for state in self.states(part, home) for pitch in state.pitches})

    def own_pitch_class(self, part: PartPlan, span: ChordSpan, pc: int) -> Literal:
        """A literal that implies that only this part plays the pitch class in that chord's time."""
        key = (part.name, span.index, pc)
        if key not in self._own:
            own = self._own[key] = self._hard.new_bool_var("")
            playing = [x for home in self.homes_in_span(part, span) for x in self._with_pitch_class(part, home, pc)]
            self._hard.add(own <= cp_model.LinearExpr.sum(playing))
            for other in self.plan.parts:
                if other.name != part.name:
                    for home in self.homes_in_span(other, span):
                        foreign = self._with_pitch_class(other, home, pc)
                        if foreign:
                            self._hard.add(cp_model.LinearExpr.sum(foreign) + own <= 1)
        return self._own[key]

    def _with_pitch_class(self, part: PartPlan, home: int, pc: int) -> list[Literal]:
        return self.literals(part, home, lambda state: any(pitch % 12 == pc for pitch in state.pitches))

    def used_tops(self, part: PartPlan, pass_index: int) -> dict[int, Literal]:
        """For each pitch, a literal that equals whether it is a counted top note of the part in a pass."""
        indices = counted(self.plan, part, self.skeleton.onsets[part.name], pass_index)
        homes = frozenset(self.skeleton.slots[part.name][index].home for index in indices)
        key = (part.name, homes)
        if key not in self._used:
            self._used[key] = {
                pitch: self._any_of([self.by_top(part, home).get(pitch, []) for home in sorted(homes)])
                for pitch in sorted({pitch for home in homes for pitch in self.by_top(part, home)})
            }
        return self._used[key]

    def _any_of(self, by_slot: list[list[Literal]]) -> Literal:
        """A literal that equals whether any of the literals is true, of which each slot has one at most."""
        any_of = self._hard.new_bool_var("")
        sums = [cp_model.LinearExpr.sum(literals) for literals in by_slot if literals]
        for total in sums:
            self._hard.add(total <= any_of)
        self._hard.add(any_of <= sum(sums))
        return any_of

    def same_top(self, part: PartPlan, one: int, other: int) -> Literal:
        """A literal that is true where two slots of a part, given by index, have the same top pitch; it may be true
        elsewhere."""
        slots = self.skeleton.slots[part.name]
        first, second = sorted((slots[one].home, slots[other].home))
        if first == second:
            return self.cp.new_constant(1)
        key = (part.name, first, second)
        if key not in self._same:
            same = self._same[key] = self.cp.new_bool_var("")
            tops = self.by_top(part, second)
            for pitch, literals in self.by_top(part, first).items():
                if pitch in tops:
                    self.cp.add(cp_model.LinearExpr.sum([*literals, *tops[pitch]]) <= 1 + same)
        return self._same[key]

    def lost(
        self, upper: tuple[PartPlan, int], lower: tuple[PartPlan, int], loss: Callable[[State, State], int]
    ) -> list[Literal]:
        """Literals of which so many are true as two slots' states lose together, or more; slots by home index."""
        (one, high), (other, low) = upper, lower
        rows = self._states[one.name, high], self._literals[one.name, high]
        columns = self._states[other.name, low], self._literals[other.name, low]
        return lost_together(self._hard, rows, columns, loss)

    def begin_with(self, solver: cp_model.CpSolver) -> None:
        """Give the next solver the solution of the one before to begin with."""
        self.cp.clear_hints()
        for index, value in enumerate(solver.response_proto.solution):
            self.cp.add_hint(self.cp.get_int_var_from_proto_index(index), value)

    # -- reading ----------------------------------------------------------------------------------------------

    def read(self, value: Callable[[Literal], int]) -> dict[str, tuple[State, ...]]:
        """The state of every slot, by part name, from a solution."""
        chosen = {
            key: next(state for state, literal in zip(states, self._literals[key], strict=True) if value(literal))
            for key, states in self._states.items()
        }
        return {name: tuple(chosen[name, slot.home] for slot in slots) for name, slots in self.skeleton.slots.items()}
