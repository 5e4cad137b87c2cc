"""Why a brief has no arrangement: minimal conflicts among its lines, and changes that help, each tried by solving.

    explanation = explain(source, plan)
    print("\\n".join(explanation_lines(explanation, source)))
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice, product

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.rhythm.skeletons import NoRhythm, skeletons
from solver.search.conflicts.changes import Change, applied, changes_of
from solver.search.conflicts.conflicts import Tried, conflicts_of, rhythms_of
from solver.search.conflicts.finder import NotMinimal
from solver.search.conflicts.lines import Line, lines_of
from solver.search.conflicts.oracle import Oracle, Undecided, new_solver
from solver.search.conflicts.placing import Collision, collision_of

REPAIRS = 3  # changes that are shown for a conflict
TRIALS = 8  # changes of a conflict that are solved
NEAR = 10  # changes of a conflict that pass the quick look
ATTEMPTS = 6  # rhythms on which a change may show that it helps
PATIENCE = 4.0  # deterministic seconds for one of them


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


def explain(source: Source, plan: Plan) -> Explanation | None:
    """Why a plan that was made from a brief has no arrangement; None where that cannot be told."""
    lines = lines_of(source, plan)
    tried = rhythms_of(plan, plan.seed)
    try:
        found = conflicts_of(plan, lines, tried)
        if not found:
            return None
        oracle = Oracle(plan, lines, tried.rhythms[:1])
        collisions = [collision_of(oracle, conflict) for conflict in found]
        near = [_near(conflict, source, plan, tried) for conflict in found]
    except (Undecided, NotMinimal):
        return None
    conflicts = []
    for index, conflict in enumerate(found):
        others = [changes[:2] for number, changes in enumerate(near) if number != index]
        conflicts.append(Conflict(conflict, collisions[index], _helping(near[index], others, source, plan)))
    return Explanation(tuple(conflicts), len(tried.rhythms), tried.every)


def _near(conflict: tuple[Line, ...], source: Source, plan: Plan, tried: Tried) -> list[Change]:
    """The nearest changes after which the lines of a conflict can hold together."""
    changes = sorted(
        (change for line in conflict for change in changes_of(line, source, plan)), key=lambda change: change.distance
    )
    found: list[Change] = []
    seen: dict[tuple[object, ...], int] = {}
    for change in changes:
        kin = (*change.path[:3], change.kin)
        if seen.get(kin, 0) < 2 and len(found) < NEAR and _resolves(change, conflict, source, plan, tried):
            seen[kin] = seen.get(kin, 0) + 1
            found.append(change)
    return found


def _resolves(change: Change, conflict: tuple[Line, ...], source: Source, plan: Plan, tried: Tried) -> bool:
    new = applied([change], source, plan)
    if new is None:
        return False
    lines = lines_of(*new)
    keys = {line.key for line in conflict}
    kept = frozenset(line for line in lines if line.key in keys)
    of_rhythm = change.path[-1:] and change.path[-1] in ("notes_per_bar", "repeat_every", "vary_notes", "chord_bars", "tempo")
    if of_rhythm and tried.rhythms:
        # The rhythms at hand are those of the old brief: other ones have to be tried, which is solving.
        return True
    return Oracle(new[1], lines, tried.rhythms[:1]).feasible(kept)


def _helping(near: list[Change], others: list[list[Change]], source: Source, plan: Plan) -> tuple[Change, ...]:
    """Those changes with which the whole brief has an arrangement, each kind once."""
    found: list[Change] = []
    kin: set[tuple[object, ...]] = set()
    trials = 0
    for change in near:
        name = (*change.path[:3], change.kin)
        if name in kin or len(found) == REPAIRS:
            continue
        for mended in product(*others):
            if trials == TRIALS:
                break
            trials += 1
            new = applied([change, *mended], source, plan)
            if new is not None and has_arrangement(new[1]):
                found.append(change)
                kin.add(name)
                break
    return tuple(found)


def has_arrangement(plan: Plan) -> bool:
    """Whether an arrangement is found on the first rhythms, and passes the check."""
    from ortools.sat.python import cp_model

    from solver.check import breaches
    from solver.search.model import NoState, PitchModel
    from solver.search.notes import arrangement_from

    try:
        for skeleton in islice(skeletons(plan, plan.seed), ATTEMPTS):
            try:
                model = PitchModel(plan, skeleton)
            except NoState:
                continue
            solver = new_solver(PATIENCE)
            if solver.solve(model.cp) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                return not breaches(plan, arrangement_from(plan, skeleton, model.read(solver.value)))
    except NoRhythm:
        return False
    return False
