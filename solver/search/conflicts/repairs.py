"""Changes that help with conflicts, the nearest first, each of them solved before it is given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import islice, product

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.check import breaches, told_apart
from solver.rhythm.skeleton import skeleton_from
from solver.rhythm.skeletons import NoRhythm, skeletons
from solver.search.conflicts.changes import Change, applied, changes_of
from solver.search.conflicts.conflicts import Tried
from solver.search.conflicts.lines import Line, lines_of
from solver.search.conflicts.oracle import Oracle, Rhythm
from solver.search.conflicts.questions import new_solver, status_of
from solver.search.conflicts.relaxing import relaxed

REPAIRS = 3  # changes that are given for a conflict
TRIALS = 10  # changes of a conflict that are solved
COMBINATIONS = 8  # of changes for several conflicts at once
STEPS = (0, 1, 2, 4, 8)  # how much further than the least that resolves a conflict a change may go
ATTEMPTS = 3  # rhythms on which a change may show that it helps
PATIENCE = 2.0  # deterministic seconds for one of them
# Changes that give other rhythms: whether they help is only seen by solving.
OF_RHYTHM = ("notes_per_bar", "repeat_every", "vary_notes", "chord_bars")


def repairs_of(
    conflicts: Sequence[tuple[Line, ...]], source: Source, plan: Plan, tried: Tried, oracle: Oracle
) -> list[tuple[Change, ...]]:
    """For each conflict changes with which the whole brief has an arrangement, the nearest first; maybe none.

    With several conflicts, each change is tried together with one change for each of the others, which is
    among those that are given for it. ``oracle`` is the one that found the conflicts. Raises Undecided where that is
    stopped.
    """
    near = [_near(conflict, source, plan, tried, oracle) for conflict in conflicts]
    if len(near) == 1:
        return [_helping(_ordered(near[0]), [], None, source, plan, tried, oracle)]
    together = _together(near, source, plan, tried, oracle)
    if together is None:
        return [() for _ in near]
    found = []
    for index, changes in enumerate(near):
        others = [change for number, change in enumerate(together) if number != index]
        found.append(_helping(_ordered(changes), others, together[index], source, plan, tried, oracle))
    return found


def _near(conflict: tuple[Line, ...], source: Source, plan: Plan, tried: Tried, oracle: Oracle) -> list[list[Change]]:
    """Changes after which the lines of a conflict can hold together: one list for each kind, the nearest first."""
    kinds: dict[tuple[object, ...], list[Change]] = {}
    for line in conflict:
        for change in changes_of(line, source, plan):
            kinds.setdefault((line.key, change.kin), []).append(change)
    found: list[list[Change]] = []
    for changes in kinds.values():
        nearest = _nearest(changes, lambda change: _resolves(change, conflict, source, plan, tried, oracle))
        if nearest is not None:
            found.append([changes[nearest + step] for step in STEPS if nearest + step < len(changes)])
    return found


def _nearest(changes: Sequence[Change], helps: Callable[[Change], bool]) -> int | None:
    """The index of the first change of a kind that helps; one that goes further allows all that it allows.

    The nearest are asked first, in longer and longer strides: they leave less to search.
    """
    fails, last = -1, 0
    while not helps(changes[last]):
        if last == len(changes) - 1:
            return None
        fails, last = last, min(2 * last + 1, len(changes) - 1)
    while last - fails > 1:
        middle = (fails + last) // 2
        if helps(changes[middle]):
            last = middle
        else:
            fails = middle
    return last


def _resolves(
    change: Change, conflict: tuple[Line, ...], source: Source, plan: Plan, tried: Tried, oracle: Oracle
) -> bool:
    new = applied([change], source, plan)
    if new is None:
        return False
    lines = lines_of(*new)
    keys = {line.key for line in conflict}
    kept = frozenset(line for line in lines if line.key in keys)
    asked = oracle.changed(new[1], lines, tried.rhythms[:1])
    if asked.of_rhythm:
        return asked.has_rhythm(kept)
    if _gives_other_rhythms(change):
        return True
    return asked.suits(relaxed(new[1], kept, lines), kept, tried.rhythms[0])


def _ordered(kinds: list[list[Change]]) -> list[Change]:
    """The changes of all kinds, the nearest first."""
    return sorted((change for changes in kinds for change in changes), key=lambda change: change.distance)


def _together(
    near: list[list[list[Change]]], source: Source, plan: Plan, tried: Tried, oracle: Oracle
) -> list[Change] | None:
    """A change for each conflict with which the whole brief has an arrangement."""
    choices = [sorted(kinds, key=lambda changes: changes[0].distance)[:2] for kinds in near]
    if not all(choices):
        return None
    # The nearest kind of each conflict, further and further; then the other kinds, as far as they go.
    trials = [[kinds[0][min(step, len(kinds[0]) - 1)] for kinds in choices] for step in range(len(STEPS))]
    trials += [[changes[-1] for changes in kinds] for kinds in product(*choices)]
    return next((chosen for chosen in trials[:COMBINATIONS] if _helps(chosen, source, plan, tried, oracle)), None)


def _helping(
    changes: list[Change],
    others: list[Change],
    known: Change | None,
    source: Source,
    plan: Plan,
    tried: Tried,
    oracle: Oracle,
) -> tuple[Change, ...]:
    """Those changes that help together with the ``others``, each kind once; ``known`` does."""
    found: list[Change] = []
    kinds: set[tuple[object, ...]] = set()
    trials = 0
    for change in changes:
        kind = (*change.path[:3], change.kin)
        if kind in kinds or len(found) == REPAIRS:
            continue
        if change != known:
            if trials == TRIALS:
                continue
            trials += 1
            if not _helps([change, *others], source, plan, tried, oracle):
                continue
        found.append(change)
        kinds.add(kind)
    return tuple(found)


def _helps(changes: list[Change], source: Source, plan: Plan, tried: Tried, oracle: Oracle) -> bool:
    oracle.go_on()
    new = applied(changes, source, plan)
    if new is None:
        return False
    # What held notes break by themselves changes where other notes are held.
    unlocking = any(change.held is not None for change in changes)
    changed = with_excuses(new[1], oracle.stopped) if unlocking else new[1]
    refutes = oracle.changed(changed, lines_of(new[0], changed), ()).refutes
    if unlocking or any(_gives_other_rhythms(change) for change in changes):
        return has_arrangement(changed, refutes=refutes, stopped=oracle.stopped)
    return has_arrangement(changed, tried.rhythms, refutes, oracle.stopped)


def _gives_other_rhythms(change: Change) -> bool:
    return bool(change.path) and change.path[-1] in OF_RHYTHM


def with_excuses(plan: Plan, stopped: Callable[[], bool] = lambda: False) -> Plan:
    """The plan with the rules that its held notes break by themselves, as the search excuses them."""
    from solver.search.excuses import broken_by_held
    from solver.search.solve import Watch

    if not plan.held:
        return plan
    watch = Watch(stopped)
    try:
        return replace(plan, excused=broken_by_held(plan, next(skeletons(plan, plan.seed, stopped)), watch))
    except NoRhythm:
        return plan
    finally:
        watch.close()


def has_arrangement(
    plan: Plan,
    rhythms: Sequence[Rhythm] = (),
    refutes: Callable[[Rhythm], bool] = lambda rhythm: False,
    stopped: Callable[[], bool] = lambda: False,
) -> bool:
    """Whether an arrangement is found on the first of these rhythms, or of the plan's own where none are given, and
    passes the check. What ``refutes`` says of a rhythm, that it has none, costs less than to try it."""
    from solver.search.cp_sat import cp_model
    from solver.search.excuses import broken_rhythms
    from solver.search.model import NoState, PitchModel
    from solver.search.notes import arrangement_from

    own = (skeleton_from(plan, rhythm) for rhythm in rhythms) if rhythms else skeletons(plan, plan.seed, stopped)
    try:
        for skeleton in islice(own, ATTEMPTS):
            if refutes(skeleton.onsets):
                continue
            try:
                model = PitchModel(plan, skeleton)
            except NoState:
                continue
            solver = new_solver(PATIENCE)
            if status_of(solver, model.cp, stopped) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                arrangement = arrangement_from(plan, skeleton, model.read(solver.value))
                excused = frozenset(model.excused) | broken_rhythms(plan, skeleton)
                return not told_apart(plan, breaches(plan, arrangement), excused)[0]
    except NoRhythm:
        return False
    return False
