"""Skeletons in the order in which the search tries them: lines of all parts whose onsets suit each other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import islice, product
from math import prod
from random import Random

from solver.brief.plan import PartPlan, Plan
from solver.merits.blend import together
from solver.merits.gaps_filled import gaps
from solver.merits.motif_returns import comebacks, most
from solver.rhythm.held_notes import held_of
from solver.rhythm.lines import Family, Line, as_held, family, is_fixed
from solver.rhythm.skeleton import Onsets, Skeleton, skeleton_from
from solver.rules import every_rule

LINES = 48  # lines drawn for each part
DRAWS = 600  # combinations that are looked at in each round
ROUNDS = 40
LAYOUTS = 10_000  # of a part, that are looked at where drawing finds nothing: a few seconds
STALE = 3  # rounds in a row that bring nothing new: the family is taken to be exhausted

RETURNING = 3.0  # what it is worth in marks that a lead's bars all have the rhythm of its first
FEWEST = 2000  # combinations among which the best are taken, where fewer are asked for
APART = "no rhythm was found in which the parts go together"


@dataclass(frozen=True)
class Candidate:
    """A combination of lines, by part name, with its mark."""

    lines: dict[str, Line]
    mark: float


class NoRhythm(Exception):
    """No rhythm of a part is admitted, or none was found of it, or of all parts together; the message says which.

    ``every`` says that all rhythms were looked at: of all parts together, and of a part with many, it is only some.
    """

    def __init__(self, message: str, every: bool = True) -> None:
        super().__init__(message)
        self.every = every


def skeletons(plan: Plan, seed: int, stopped: Callable[[], bool] = lambda: False) -> Iterator[Skeleton]:
    """Different skeletons without end to the family, best first in each round; every one has a lead rhythm of its own
    until those run out. ``stopped`` is asked where a part's rhythms take long to look through, and ends that.

    Raises NoRhythm where there is none at all, or none was found before the end.
    """
    seen: set[tuple[tuple[int, ...], ...]] = set()
    stale = 0
    for number in range(ROUNDS if any(not is_fixed(plan, part) for part in plan.parts) else 1):
        fresh = 0
        try:
            candidates = _round(plan, seed, number, stopped)
        except NoRhythm:
            if number == 0:
                raise
            candidates = []
        for candidate in candidates:
            key = tuple(candidate.lines[part.name].onsets for part in plan.parts)
            if key not in seen:
                seen.add(key)
                fresh += 1
                yield skeleton_from(plan, {name: line.onsets for name, line in candidate.lines.items()})
        if number == 0 and not fresh:
            raise NoRhythm(APART, every=False)
        stale = 0 if fresh else stale + 1
        if stale == STALE:
            return


def every_rhythm(
    plan: Plan, seed: int, number: int, stopped: Callable[[], bool] = lambda: False
) -> list[dict[str, Onsets]]:
    """The ``number`` best combinations of the parts' best lines, or as many as there are of ``LINES`` each: the onsets
    of each part. ``stopped`` and NoRhythm as of ``skeletons``."""
    found = _multiplied(plan, plan.parts, seed, number, stopped)
    if not found and not plan.held:
        with suppress(NoRhythm):
            found = _multiplied(plan, _sparser(plan), seed, number, stopped)
    if not found:
        raise NoRhythm(APART, every=False)
    ranked = _varied(plan, sorted(found, key=lambda candidate: -candidate.mark))
    return [{name: line.onsets for name, line in candidate.lines.items()} for candidate in ranked[:number]]


def _multiplied(
    plan: Plan, parts: Iterable[PartPlan], seed: int, number: int, stopped: Callable[[], bool]
) -> list[Candidate]:
    """All combinations of so many lines of each part, the best, that there are ``number`` or more."""
    lines = {name: _by_worth(plan, name, drawn) for name, drawn in _lines(plan, parts, seed, 0, stopped).items()}
    found: list[Candidate] = []
    for each in range(1, LINES + 1):
        best = [choices[:each] for choices in lines.values()]
        if each == LINES or prod(map(len, best)) >= max(number, FEWEST):
            found = _combined(plan, (dict(zip(lines, chosen, strict=True)) for chosen in product(*best)))
            if len(found) >= number:
                break
    return found


def _by_worth(plan: Plan, name: str, lines: list[Line]) -> list[Line]:
    """A part's lines, the best first; a lead's by how much of its statement has the rhythm of an earlier bar, too."""
    part = plan.part(name)
    if part.role != "lead":
        return lines
    worth = [
        line.mark
        + RETURNING * sum(1 for _ in comebacks(plan, part, line.onsets)) / max(1, most(plan, part, line.onsets))
        for line in lines
    ]
    return [lines[index] for index in sorted(range(len(lines)), key=lambda index: -worth[index])]


def _round(plan: Plan, seed: int, number: int, stopped: Callable[[], bool]) -> list[Candidate]:
    found = _combined(plan, _drawn(_lines(plan, plan.parts, seed, number, stopped), seed, number))
    if not found and not plan.held:
        # What is best for each part alone may be too full for them together.
        with suppress(NoRhythm):
            found = _combined(plan, _drawn(_lines(plan, _sparser(plan), seed, number, stopped), seed, number))
    ranked = sorted(found, key=lambda candidate: -candidate.mark)
    return _varied(plan, ranked)


def _sparser(plan: Plan) -> list[PartPlan]:
    """The parts, a background with no more notes a bar than any lead may have, as its rule asks of the loop."""
    most = min((lead.notes_per_bar[1] for lead in plan.with_role("lead")), default=plan.metre.grid)
    sparser = []
    for part in plan.parts:
        fewest, fullest = part.notes_per_bar
        room = max(fewest, min(most, fullest))
        sparser.append(replace(part, notes_per_bar=(fewest, room)) if part.role == "background" else part)
    return sparser


def _lines(
    plan: Plan, parts: Iterable[PartPlan], seed: int, number: int, stopped: Callable[[], bool]
) -> dict[str, list[Line]]:
    lines: dict[str, list[Line]] = {}
    for part in parts:
        random = Random(f"{seed} {number} {part.name}")
        rhythms = family(plan, part)
        lines[part.name] = rhythms.draw(LINES, random)
        if not lines[part.name] and held_of(plan, part):
            lines[part.name] = as_held(plan, part).draw(LINES, random)
            if not lines[part.name]:
                raise _none(part, every=is_fixed(plan, part))
        elif not lines[part.name]:
            lines[part.name] = [_first(part, rhythms, stopped)]
    return lines


def _first(part: PartPlan, rhythms: Family, stopped: Callable[[], bool]) -> Line:
    """The first line of a part's rhythms. Raises NoRhythm where none is among the layouts that are looked at."""
    layouts = rhythms.layouts()
    for layout in islice(layouts, LAYOUTS):
        if stopped():
            raise _none(part, every=False)
        line = rhythms.line(layout)
        if line is not None:
            return line
    raise _none(part, every=next(layouts, None) is None)


def _none(part: PartPlan, every: bool) -> NoRhythm:
    words = f"no rhythm of {part.name} keeps every rule"
    return NoRhythm(words if every else f"no rhythm of {part.name} was found that keeps every rule", every)


def _drawn(lines: dict[str, list[Line]], seed: int, number: int) -> Iterator[dict[str, Line]]:
    random = Random(f"{seed} {number}")
    for _ in range(DRAWS):
        yield {name: random.choice(choices) for name, choices in lines.items()}


def _combined(plan: Plan, combinations: Iterable[dict[str, Line]]) -> list[Candidate]:
    checks = [rule.admits_together for rule in every_rule() if rule.admits_together is not None]
    found: dict[tuple[tuple[int, ...], ...], Candidate] = {}
    # Rhythms that are held may break a rule together; then what breaks fewest is all that can be had.
    least = 0 if not plan.held else len(checks)
    for chosen in combinations:
        onsets = {name: line.onsets for name, line in chosen.items()}
        key = tuple(onsets.values())
        if key in found:
            continue
        refusals = sum(not check(plan, onsets) for check in checks)
        if refusals < least:
            found.clear()
            least = refusals
        if refusals == least:
            found[key] = Candidate(chosen, _mark(plan, chosen, onsets))
    return list(found.values())


def _mark(plan: Plan, lines: dict[str, Line], onsets: dict[str, tuple[int, ...]]) -> float:
    free, filled = gaps(plan, onsets)
    notes = sum(len(part) for part in onsets.values())
    answers, meets = filled / max(1, free), together(onsets) / notes
    return sum(line.mark for line in lines.values()) / len(lines) + 3 * answers + meets


def _varied(plan: Plan, ranked: list[Candidate]) -> list[Candidate]:
    """The same candidates, those whose lead (without one, whose first part) has a first cell not yet seen in front.

    Where its rhythm is held, it is the next part's that counts.
    """
    voices = [*plan.with_role("lead"), *plan.by_rank]
    voice = next((part for part in voices if not is_fixed(plan, part)), voices[0]).name
    first: list[Candidate] = []
    rest: list[Candidate] = []
    cells, onsets = set(), set()
    for candidate in ranked:
        line = candidate.lines[voice]
        new = line.cells[0] not in cells and line.onsets not in onsets
        (first if new else rest).append(candidate)
        cells.add(line.cells[0])
        onsets.add(line.onsets)
    return first + rest
