"""The pitch model with every rule under an assumption literal, or with the rules of some lines alone.

``PitchModel`` drops states and moves that rules forbid. Here they stay, and what forbids them is posted under the
literal of the rule and the parts that it binds; the sums that rules post are put under such literals as well. So a
refutation names rules, and through them lines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.rhythm.held_notes import wanted_strokes
from solver.rhythm.skeleton import Skeleton
from solver.rules import in_range, in_scale, leaps, voicings
from solver.rules.rule import Rule
from solver.search.conflicts.asked import Asked, Table
from solver.search.conflicts.recording import Place, Recording, places_of
from solver.search.cp_sat import cp_model
from solver.search.held_states import held_states, is_in_place
from solver.search.model import NoState, PitchModel
from solver.search.moves import Arc, Literal, Move, by_kind, moves_between
from solver.search.state import State
from solver.search.states import candidate_states
from solver.search.tables import Kinds, arcs_along

# Rules whose states and moves never exist while their lines do: they make the model small.
STRUCTURAL = frozenset({in_range.NAME, in_scale.NAME, voicings.NAME, leaps.NAME})


@dataclass(frozen=True)
class Instance:
    """A rule as it binds some parts, at some places where assumptions are to tell times apart."""

    rule: str
    parts: frozenset[str]
    places: frozenset[Place] = frozenset()


class NoStateAt(NoState):
    """A slot is left without any state; ``slot`` counts from the loop's start."""

    def __init__(self, slot: int) -> None:
        super().__init__(f"slot {slot}")
        self.slot = slot


class ExplainingModel(PitchModel):
    """Variables and rules of one skeleton. ``holds`` says which rules hold for which parts.

    ``assumed``: rules stand under assumptions, to be told apart; else they are simply there. ``placed``: assumptions
    tell places apart too. ``asked`` keeps what was asked of rules for other models of the same plan.
    """

    def __init__(
        self,
        plan: Plan,
        skeleton: Skeleton,
        rules: Iterable[Rule],
        holds: Callable[[str, frozenset[str]], bool],
        *,
        assumed: bool = False,
        placed: bool = False,
        asked: Asked | None = None,
    ) -> None:
        self._holds, self._assumed, self._placed = holds, assumed, placed
        self._about: dict[int, frozenset[Place]] = {}
        self._kinds_at: dict[Place, Kinds] = {}
        self._asked = asked or Asked()
        self.assumptions: dict[Instance, Literal] = {}
        super().__init__(plan, skeleton, tuple(rules))

    def _build(self) -> None:
        self._model: cp_model.CpModel = self._hard
        self.cp = self.recording = Recording(self._model)
        for part in self.plan.parts:
            self._make_states(part)
            self._make_arcs(part)
        names = [part.name for part in self.plan.parts]
        pairs = [frozenset({one, other}) for one in names for other in names]
        for rule in self._rules:
            if rule.post is None:
                continue
            held = [self._holds(rule.name, pair) for pair in pairs]
            if all(held) and not self._assumed:
                rule.post(self)
            elif any(held) or self._holds(rule.name, frozenset()):
                self._record(rule)

    @property
    def model(self) -> cp_model.CpModel:
        """What the solver is given."""
        if self.assumptions:
            self._model.clear_assumptions()
            self._model.add_assumptions(list(self.assumptions.values()))
        return self._model

    # -- assumptions ------------------------------------------------------------------------------------------

    def _under(self, constraint: cp_model.Constraint, rule: str, places: Iterable[Place]) -> None:
        """Put a constraint under the assumption of its rule; take it out where the rule does not hold."""
        places = frozenset(places)
        parts = frozenset(part for part, _ in places)
        if not self._holds(rule, parts):
            constraint.only_enforce_if(self._model.new_constant(0))
        elif self._assumed:
            instance = Instance(rule, parts, places if self._placed else frozenset())
            if instance not in self.assumptions:
                self.assumptions[instance] = self._model.new_bool_var(rule)
            constraint.only_enforce_if(self.assumptions[instance])

    def _record(self, rule: Rule) -> None:
        """Let a rule post, then find out what each of its constraints is about."""
        self.recording.asked.clear()
        self.recording.on = True
        assert rule.post is not None
        rule.post(self)
        self.recording.on = False
        taken = self.recording.take()
        about = places_of([constraint for constraint, _ in taken], self._about)
        for (constraint, asked), places in zip(taken, about, strict=True):
            # A sum of no literals is about the slots that the rule looked at and found nothing in.
            self._under(constraint, rule.name, places or asked)

    # -- building ---------------------------------------------------------------------------------------------

    def _make_states(self, part: PartPlan) -> None:
        sharing: dict[int, list[int]] = {}
        for slot in self.skeleton.slots[part.name]:
            sharing.setdefault(slot.home, []).append(slot.onset)
        alone = frozenset({part.name})
        checks = tuple(rule for rule in self._rules if rule.allows_state and self._holds(rule.name, alone))
        apart = [rule.name for rule in checks if self._assumed and rule.name not in STRUCTURAL]
        held_homes = self._held_homes(part)
        for home, onsets in sharing.items():
            every = held_homes.get(home) or self._candidates(part, self.skeleton.slots[part.name][home].onset)
            held = (part.name, home) in self._held  # held notes that break a rule by themselves are excused
            states, posed = self._asked.fits(self.plan, part, onsets, every, checks, apart, held)
            if not states:
                raise NoStateAt(self.skeleton.slots[part.name][home].onset)
            literals = tuple(self._model.new_bool_var("") for _ in states)
            place = (part.name, home)
            for literal in literals:
                self._about[literal.index] = frozenset({place})
            self._model.add_exactly_one(literals)
            self._states[place], self._literals[place] = states, literals
            for rule, fits in posed:
                fitting = [literal for state, literal in zip(states, literals, strict=True) if state in fits]
                if len(fitting) < len(states):
                    self._under(self._model.add_bool_or(fitting), rule, {place})

    def _held_homes(self, part: PartPlan) -> dict[int, tuple[State, ...]]:
        """The states of the slots that are held, by home index; those that sound where they did are noted."""
        if not self.plan.held:
            return {}
        slots = self.skeleton.slots[part.name]
        found: dict[int, tuple[State, ...]] = {}
        for index, wanted in wanted_strokes(self.plan, part, self.skeleton.onsets[part.name]).items():
            home = slots[index].home
            found.setdefault(home, held_states(self.plan, part, slots[home].onset, *wanted))
            if is_in_place(wanted, [slot for slot in slots if slot.home == home]):
                self._held.setdefault((part.name, home), wanted)
        return found

    def _candidates(self, part: PartPlan, slot: int) -> tuple[State, ...]:
        states = candidate_states(self.plan, part, slot)
        if part.is_line or self._holds(voicings.NAME, frozenset({part.name})):
            return states
        return (*states, *(State((pitch,)) for pitch in range(part.low, part.high + 1)))

    def _make_arcs(self, part: PartPlan) -> None:
        self._moves[part.name] = moves_between(part, self.skeleton.slots[part.name])
        for move in self._moves[part.name]:
            self._forbid(part, move)

    def _forbid(self, part: PartPlan, move: Move) -> None:
        """Pose what the rules say of a move: each state has a neighbour that it may go to, and one it may come from."""
        (_, rows), (_, columns) = self._kinds(part, move)
        for names, apart in self._move_rules(part):
            table = self._allowed(part, move, names)
            places = {(part.name, move.a), (part.name, move.b)}
            if all(map(all, table)) or (not any(map(any, table)) and self._is_forced(part, move)):
                continue
            for allowed, here, other in (
                *((row, here, columns) for row, here in zip(table, rows, strict=True)),
                *((row, here, rows) for row, here in zip(zip(*table, strict=True), columns, strict=True)),
            ):
                if not all(allowed):
                    fitting = [one for literals, fits in zip(other, allowed, strict=True) if fits for one in literals]
                    for literal in here:
                        clause = self._model.add_bool_or([literal.negated(), *fitting])
                        if apart:
                            self._under(clause, apart, places)

    def _kinds(self, part: PartPlan, move: Move) -> tuple[Kinds, Kinds]:
        """The states that a move tells apart at its first slot and at its second, each with its literals."""
        for place in ((part.name, home) for home in (move.a, move.b)):
            if place not in self._kinds_at:
                self._kinds_at[place] = by_kind(part, self._states[place], self._literals[place])
        return self._kinds_at[part.name, move.a], self._kinds_at[part.name, move.b]

    def _move_rules(self, part: PartPlan) -> list[tuple[tuple[Rule, ...], str]]:
        """The rules on moves: those that are simply there together, the others one by one with their names."""
        alone = frozenset({part.name})
        rules = [rule for rule in self._rules if rule.allows_move and self._holds(rule.name, alone)]
        apart = [rule for rule in rules if self._assumed and rule.name not in STRUCTURAL]
        return [(tuple(rule for rule in rules if rule not in apart), ""), *(((rule,), rule.name) for rule in apart)]

    def _allowed(self, part: PartPlan, move: Move, rules: tuple[Rule, ...]) -> Table:
        """For each kind of state at a move's first slot and its second, whether rules allow to go from one to other."""
        (states_a, _), (states_b, _) = self._kinds(part, move)
        return self._asked.table(self.plan, part, move.times, rules, states_a, states_b)

    def arcs(self, move: Move) -> tuple[Arc, ...]:
        """The arcs of a move; they are made when they are first asked for."""
        key = (move.part, move.a, move.b)
        if key not in self._arcs:
            self._arcs[key] = self._new_arcs(self.plan.part(move.part), move)
        return self._arcs[key]

    def arcs_between(self, part: PartPlan, before: int, after: int) -> tuple[Arc, ...]:
        """The arcs from one slot to the next one, by index."""
        slots = self.skeleton.slots[part.name]
        a, b = slots[before].home, slots[after].home
        return self.arcs(next(move for move in self._moves[part.name] if (move.a, move.b) == (a, b)))

    def _new_arcs(self, part: PartPlan, move: Move) -> tuple[Arc, ...]:
        places = frozenset({(part.name, move.a), (part.name, move.b)})
        table = self._allowed(part, move, self._move_rules(part)[0][0])
        found = ((i, j) for i, row in enumerate(table) for j, allowed in enumerate(row) if allowed)
        arcs = arcs_along(self._model, found, *self._kinds(part, move))
        self._about |= {arc.literal.index: places for arc in arcs}
        return arcs

    # -- lookups ----------------------------------------------------------------------------------------------

    def literals(self, part: PartPlan, index: int, fits: Callable[[State], bool]) -> list[Literal]:
        """As in PitchModel; what is asked for is noted."""
        if self.recording.on:
            self.recording.asked.add((part.name, self.skeleton.slots[part.name][index].home))
        return super().literals(part, index, fits)

    def own_pitch_class(self, part: PartPlan, span: ChordSpan, pc: int) -> Literal:
        """As in PitchModel; what it is about is noted."""
        literal = super().own_pitch_class(part, span, pc)
        homes = self.homes_in_span(part, span)
        self._about[literal.index] = frozenset((part.name, home) for home in homes)
        return literal

    def same_top(self, part: PartPlan, one: int, other: int) -> Literal:
        """As in PitchModel; what it is about is noted."""
        literal = super().same_top(part, one, other)
        slots = self.skeleton.slots[part.name]
        self._about[literal.index] = frozenset((part.name, slots[index].home) for index in (one, other))
        return literal

    def used_tops(self, part: PartPlan, pass_index: int) -> dict[int, Literal]:
        """As in PitchModel; what they are about is noted."""
        used = super().used_tops(part, pass_index)
        for pitch, literal in used.items():
            homes = (slot.home for slot in self.skeleton.slots[part.name])
            having = {home for home in homes if any(state.top == pitch for state in self.states(part, home))}
            self._about[literal.index] = frozenset((part.name, home) for home in having)
        return used
