"""All pitches that go into a rhythm, found twice: by python-constraint on plain rules, by CP-SAT on the pitch model."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import combinations, pairwise

from ortools.sat.python import cp_model

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.enumeration import Rule, solutions
from solver.rhythm.skeleton import NoteSlot, Skeleton
from solver.rules import (
    background_sparse,
    every_rule,
    in_range,
    in_scale,
    leaps,
    low_walk,
    passing_notes,
    repeats,
    strong_beats,
    voicings,
)
from solver.rules.rule import Rule as HardRule
from solver.search.model import PitchModel
from solver.search.solvers import solver_for
from tests.search.fixing import Line, arrangement_of, model_of

Found = frozenset[tuple[Line, ...]]  # for each solution the lines of the parts, in the plan's order
LIMIT = 60.0  # deterministic seconds
SIZES = {"single": (1,), "dyads": (2,), "chords": (3, 4)}
# Rules that a few notes tell of already; all are asked again once all notes are there. A background's notes may be
# excused for what the whole chord's time holds, so that they are not judged by the rules of the second row.
OF_ONE_NOTE = (in_range.RULE, in_scale.RULE, voicings.RULE)
OF_ONE_NOTE_BUT_IN_A_BACKGROUND = (strong_beats.RULE,)
OF_TWO_NEIGHBOURS = (leaps.RULE, low_walk.RULE)
OF_THREE_NEIGHBOURS = (passing_notes.RULE,)
# A part alone must keep every rule that its own notes can break: silence elsewhere only makes the others easier to
# keep, but for the rule that a background has no more notes than a lead.
OF_A_PART = tuple(rule for rule in every_rule() if rule is not background_sparse.RULE)


def by_plain_rules(plan: Plan, skeleton: Skeleton) -> Found:
    """Every choice of pitches without a breach, by python-constraint; each slot has a variable of its own."""
    slots = [(part, slot) for part in plan.parts for slot in skeleton.slots[part.name]]
    rules: list[Rule] = [(lambda *every: _is_whole(plan, skeleton, every), range(len(slots)))]
    for part in plan.parts:
        first = next((number for number, (other, _) in enumerate(slots) if other is part), 0)
        for keeps, indices in _rules_of(plan, skeleton, part):
            rules.append((keeps, [first + index for index in indices]))
    domains = [_domain(plan, part, slot) for part, slot in slots]
    return frozenset(_lines(plan, skeleton, every) for every in solutions(domains, rules))


def _domain(plan: Plan, part: PartPlan, slot: NoteSlot) -> list[tuple[int, ...]]:
    every = [
        chosen for size in SIZES[part.texture] for chosen in combinations(range(part.low - 1, part.high + 2), size)
    ]
    rules = OF_ONE_NOTE if part.role == "background" else OF_ONE_NOTE + OF_ONE_NOTE_BUT_IN_A_BACKGROUND
    return [pitches for pitches in every if _keeps(plan, part, (slot,), rules, slot)(pitches)]


def _rules_of(plan: Plan, skeleton: Skeleton, part: PartPlan) -> list[Rule]:
    """What a part's own notes have to keep, over the indices of its slots."""
    own = skeleton.slots[part.name]
    rules: list[Rule] = [(_alone(plan, skeleton, part), range(len(own)))]
    for a, b in pairwise(own):
        rules.append((_keeps(plan, part, (a, b), OF_TWO_NEIGHBOURS, b), (a.index, b.index)))
    for a, b, c in zip(own, own[1:], own[2:], strict=False):
        if part.role != "background":
            rules.append((_keeps(plan, part, (a, b, c), OF_THREE_NEIGHBOURS, b), (a.index, b.index, c.index)))
    for slot in own:
        home = next(other for other in own if other.onset == plan.home_slot(part, slot.onset))
        if home is not slot and slot.onset < plan.tail_start(part):
            rules.append((_keeps(plan, part, (home, slot), (repeats.RULE,), slot), (home.index, slot.index)))
    return rules


def _keeps(
    plan: Plan, part: PartPlan, slots: tuple[NoteSlot, ...], rules: tuple[HardRule, ...], judged: NoteSlot
) -> Callable[..., bool]:
    """Whether these pitches in these slots, with nothing else, leave one slot without a breach."""

    def keeps(*line: tuple[int, ...]) -> bool:
        played = zip(slots, line, strict=True)
        notes = (Note(part.name, slot.onset, slot.length, pitch) for slot, pitches in played for pitch in pitches)
        heard = Heard(plan, Arrangement(tuple(notes)))
        return not any(breach.slot == judged.onset for rule in rules for breach in rule.breaches(heard))

    return cache(keeps)


def _alone(plan: Plan, skeleton: Skeleton, part: PartPlan) -> Callable[..., bool]:
    """Whether a part's line, with all other parts silent, breaks nothing."""
    silent = Skeleton({name: slots if name == part.name else () for name, slots in skeleton.slots.items()})

    def keeps(*line: tuple[int, ...]) -> bool:
        lines: dict[str, Line] = {other.name: () for other in plan.parts} | {part.name: line}
        heard = Heard(plan, arrangement_of(plan, silent, lines))
        return not any(breach.part == part.name for rule in OF_A_PART for breach in rule.breaches(heard))

    return cache(keeps)


def _lines(plan: Plan, skeleton: Skeleton, every: tuple[tuple[int, ...], ...]) -> tuple[Line, ...]:
    lines, start = [], 0
    for part in plan.parts:
        end = start + len(skeleton.slots[part.name])
        lines.append(every[start:end])
        start = end
    return tuple(lines)


def _is_whole(plan: Plan, skeleton: Skeleton, every: tuple[tuple[int, ...], ...]) -> bool:
    lines = dict(zip((part.name for part in plan.parts), _lines(plan, skeleton, every), strict=True))
    heard = Heard(plan, arrangement_of(plan, skeleton, lines))
    return not any(rule.breaches(heard) for rule in every_rule())


class _Collector(cp_model.CpSolverSolutionCallback):
    """Gathers the pitches of every solution; those that differ in helping literals alone are one."""

    def __init__(self, model: PitchModel) -> None:
        super().__init__()
        self.found: set[tuple[Line, ...]] = set()
        self._model = model

    def on_solution_callback(self) -> None:
        states = self._model.read(self.value)
        names = (part.name for part in self._model.plan.parts)
        self.found.add(tuple(tuple(state.pitches for state in states[name]) for name in names))


def by_model(plan: Plan, skeleton: Skeleton) -> Found:
    """Every solution of the pitch model, by CP-SAT, as pitches."""
    model = model_of(plan, skeleton)
    if model is None:
        return frozenset()
    solver, collector = solver_for(LIMIT), _Collector(model)
    solver.parameters.enumerate_all_solutions = True
    status = solver.solve(model.cp, collector)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), solver.status_name(status)
    return frozenset(collector.found)
