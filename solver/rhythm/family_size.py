"""How many rhythms a brief allows (every form of every part with different cells, parts combined freely), and whether
some are all that it has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations, product
from math import prod

from solver.brief.plan import Plan
from solver.rhythm.cells import Cell
from solver.rhythm.lines import LETTERS, Family, Onsets, family, fits, is_fixed
from solver.rules import every_rule

COUNTED = 2000  # rhythms at most, before the rules, that are gone through: a second


def family_size(plan: Plan) -> int | None:
    """How many rhythms of all parts together there are at most: before the rules across bar lines and between parts.

    None where notes are held: what they leave is not counted.
    """
    return None if plan.held else prod(lines_at_most(family(plan, part)) for part in plan.parts)


def are_all(plan: Plan, rhythms: Iterable[Mapping[str, Onsets]]) -> bool:
    """Whether a plan has no rhythms but these, of which there is one or more; False where that is not known."""
    if plan.held:
        return all(is_fixed(plan, part) for part in plan.parts)
    size = family_size(plan)
    if size is None or size > COUNTED:
        return False
    names = [part.name for part in plan.parts]
    known = {tuple(onsets[name] for name in names) for onsets in rhythms}
    checks = [rule.admits_together for rule in every_rule() if rule.admits_together is not None]
    lines = [[line.onsets for line in family(plan, part).every()] for part in plan.parts]
    return all(
        chosen in known or not all(check(plan, dict(zip(names, chosen, strict=True))) for check in checks)
        for chosen in product(*lines)
    )


def lines_at_most(family: Family) -> int:
    """How many lines a part has before the rules across bar lines."""
    ways = 0
    for form in family.forms:
        usable = [{cell for cell in family.cells if fits(cell, family.wanted(form, letter))} for letter in set(form)]
        ways += _all_different(usable)
    return ways


def _all_different(choices: list[set[Cell]]) -> int:
    """In how many ways one can be taken of each of up to three sets, all different, by inclusion and exclusion."""
    ways = prod(len(choice) for choice in choices)
    for pair in combinations(range(len(choices)), 2):
        others = [choice for index, choice in enumerate(choices) if index not in pair]
        ways -= len(choices[pair[0]] & choices[pair[1]]) * prod(len(choice) for choice in others)
    return ways + (2 * len(set.intersection(*choices)) if len(choices) == LETTERS else 0)
