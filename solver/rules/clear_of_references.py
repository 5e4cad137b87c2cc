"""Arrangements keep a distance from the references that the brief names, and from earlier takes where it says so.

No part shares a run of more than ``longest_shared`` intervals with their rhythm with any part of a reference;
transposition does not hide one, and a run of repeated notes or on the tones of one plain chord does not count. No
statement of a lead has the rhythm and the contour (up, level, down) of a stretch of a reference from end to end; where
a statement is no longer than such a run, that is asked of the whole loop. References and parts are read as loops.
Common practice, no source: no figure of this kind is a legal opinion.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from solver.avoided import Avoided, LoopLine, Move, bars_of, loop_line
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.lead_life import statement_bars
from solver.rules.rule import Breach, Rule
from solver.study.similarity import is_plain, shared_runs

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.moves import Arc

NAME = "clear of the references"


def contour_moves(plan: Plan, part: PartPlan, onsets: Sequence[int]) -> int:
    """How many of a lead's moves, from its first, are not to match a reference in rhythm and contour."""
    statement = sum(onset < statement_bars(plan, part) * plan.metre.grid for onset in onsets)
    return next((moves for moves in (statement, len(onsets)) if moves > plan.avoid.longest_shared), 0)


def direction(interval: int) -> int:
    """1 up, 0 level, -1 down."""
    return (interval > 0) - (interval < 0)


# -- finished notes -------------------------------------------------------------------------------------------


def breaches(heard: Heard) -> list[Breach]:
    """Runs that are shared with a source, and leads with the rhythm and contour of one."""
    plan, found = heard.plan, []
    for part in plan.parts:
        line = loop_line(part.name, heard.arrangement.part(part.name), plan.slots, plan.quarters_per_slot)
        if line is None:
            continue
        onsets = heard.onsets[part.name]
        for source in plan.avoid.sources:
            for other in source.lines:
                for run in shared_runs(line, other):
                    if run.moves > plan.avoid.longest_shared:
                        why = f"{run.moves} intervals with their rhythm are those of {_at(source, other, run.second)}"
                        found.append(Breach(NAME, part.name, onsets[run.first], why))
                if part.role == "lead":
                    size = contour_moves(plan, part, onsets)
                    for at in _same_contours(line.moves[:size], other):
                        why = f"rhythm and contour are those of {_at(source, other, at)}"
                        found.append(Breach(NAME, part.name, onsets[0], why))
    return found


def _at(source: Avoided, line: LoopLine, stroke: int) -> str:
    return f"{source.name}, {line.part}, bar {bars_of(line, source.bar, stroke, stroke)[0]}"


def _same_contours(moves: tuple[Move, ...], other: LoopLine) -> list[int]:
    """The first stroke of the other line from which it has the rhythm and the contour of some moves."""
    if not moves:
        return []
    size = len(other.moves)
    for start in range(size):
        pairs = ((move, other.moves[(start + k) % size]) for k, move in enumerate(moves))
        if all(a.quarters == b.quarters and direction(a.interval) == direction(b.interval) for a, b in pairs):
            return [start]
    return []


# -- the pitch model ------------------------------------------------------------------------------------------


def post(model: PitchModel) -> None:
    """For each place of a part where its rhythm is that of a forbidden run, not all of the run's intervals."""
    plan = model.plan
    if not plan.avoid.sources:
        return
    runs = forbidden(plan)
    for part in plan.parts:
        _Poster(model, part).forbid(runs)


Runs = dict[tuple[Fraction, ...], list[tuple[Move, ...]]]


def forbidden(plan: Plan) -> Runs:
    """The runs that no part may have, by the rhythm of their first moves."""
    longest = plan.avoid.longest_shared
    found = {run for source in plan.avoid.sources for line in source.lines for run in forbidden_runs(line, longest)}
    runs: Runs = {}
    for run in sorted(found, key=lambda run: [(move.interval, move.quarters) for move in run]):
        runs.setdefault(tuple(move.quarters for move in run[: longest + 1]), []).append(run)
    return runs


def runs_in_place(plan: Plan, onsets: Sequence[int], runs: Runs) -> Iterator[tuple[int, tuple[Move, ...]]]:
    """Where a part's rhythm is that of a forbidden run: the index of the note it starts with, and the run."""
    times, size, key = _times(plan, onsets), len(onsets), plan.avoid.longest_shared + 1
    for start in range(size if size >= max(key, 2) else 0):
        for run in runs.get(tuple(times[(start + k) % size] for k in range(key)), ()):
            if len(run) <= size and all(move.quarters == times[(start + k) % size] for k, move in enumerate(run)):
                yield start, run


def contours_in_place(
    plan: Plan, part: PartPlan, onsets: Sequence[int], lines: Iterable[LoopLine]
) -> Iterator[list[Move]]:
    """What a lead's first moves would be as those of a line, wherever their rhythm is the same."""
    times, wanted = _times(plan, onsets), contour_moves(plan, part, onsets)
    for line in lines if wanted and len(onsets) > 1 else ():
        for at in range(len(line.moves)):
            there = [line.moves[(at + k) % len(line.moves)] for k in range(wanted)]
            if all(move.quarters == time for move, time in zip(there, times, strict=False)):
                yield there


def _times(plan: Plan, onsets: Sequence[int]) -> tuple[Fraction, ...]:
    """Quarters from each onset to the next, around the loop."""
    following = [*onsets[1:], plan.slots + onsets[0]] if onsets else []
    return tuple((then - onset) * plan.quarters_per_slot for onset, then in zip(onsets, following, strict=True))


def forbidden_runs(line: LoopLine, longest: int) -> Iterator[tuple[Move, ...]]:
    """From each stroke of a line the shortest run that is longer than ``longest`` moves and not plain.

    A part is clear of the line's runs if it is clear of these, for whatever holds a plain run in it may be plain no
    more, but never the other way round.
    """
    moves, end = line.moves, 0
    if is_plain(move.interval for move in moves):
        return
    ahead = [moves[k % len(moves)] for k in range(2 * len(moves) + longest + 1)]
    for first in range(len(moves)):
        end = max(end, first + longest + 1)
        while is_plain(move.interval for move in ahead[first:end]):
            end += 1
        yield tuple(ahead[first:end])


class _Poster:
    """Posts for one part; a literal follows from each arc with a certain interval or direction."""

    def __init__(self, model: PitchModel, part: PartPlan) -> None:
        self.model, self.part = model, part
        self.slots = model.skeleton.slots[part.name]
        self.onsets = [slot.onset for slot in self.slots]
        self.is_held = any(source.part == part.name for source in model.plan.held)
        self._made: dict[tuple[int, int, str, int], Any] = {}
        self._posted: set[frozenset[int]] = set()

    def forbid(self, runs: Runs) -> None:
        """Forbid the runs wherever they fit, and to a lead the lines' contours."""
        plan = self.model.plan
        for start, run in runs_in_place(plan, self.onsets, runs):
            self._not_all(start, "interval", [move.interval for move in run])
        if self.part.role == "lead":
            lines = (line for source in plan.avoid.sources for line in source.lines)
            for moves in contours_in_place(plan, self.part, self.onsets, lines):
                self._not_all(0, "direction", [direction(move.interval) for move in moves])

    def _not_all(self, start: int, kind: str, values: Sequence[int]) -> None:
        moves = [((start + k) % len(self.slots), value) for k, value in enumerate(values)]
        literals = [self._literal(index, kind, value) for index, value in moves]
        if any(literal is None for literal in literals):
            return  # a move that has no arc of this kind: the run cannot come about
        if self.is_held and all(self._is_certain(index, kind, value) for index, value in moves):
            self.model.excused.add(NAME)  # held notes are to come out as they are
            return
        different = {literal.index: literal for literal in literals}
        if frozenset(different) not in self._posted:
            self._posted.add(frozenset(different))
            self.model.cp.add_bool_or([literal.negated() for literal in different.values()])

    def _literal(self, index: int, kind: str, value: int) -> Any:
        """A literal that is true where the move from a slot to the next has this interval or direction, and may be true
        besides, for it is only ever asked not to be. None where no arc has it."""
        after = (index + 1) % len(self.slots)
        key = (self.slots[index].home, self.slots[after].home, kind, value)
        if key not in self._made:
            arcs = self.model.arcs_between(self.part, index, after)
            self._made[key] = self._any([arc.literal for arc in arcs if _value(arc, kind) == value])
        return self._made[key]

    def _is_certain(self, index: int, kind: str, value: int) -> bool:
        arcs = self.model.arcs_between(self.part, index, (index + 1) % len(self.slots))
        return all(_value(arc, kind) == value for arc in arcs)

    def _any(self, arcs: list[Any]) -> Any:
        if len(arcs) < 2:
            return arcs[0] if arcs else None
        literal = self.model.cp.new_bool_var("")
        for arc in arcs:
            self.model.cp.add_implication(arc, literal)
        return literal


def _value(arc: Arc, kind: str) -> int:
    interval = arc.b.top - arc.a.top
    return interval if kind == "interval" else direction(interval)


RULE = Rule(NAME, breaches, post=post)
