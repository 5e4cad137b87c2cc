"""Hold an arrangement against a brief by the plain halves of the rules, which know no solver."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rules import every_rule
from solver.rules.rule import Breach

MOST_PLACES = 3  # that a line lists before it only counts


def breaches(plan: Plan, arrangement: Arrangement) -> list[Breach]:
    """Every breach of every rule, in the order of the rules, then of time."""
    heard = Heard(plan, arrangement)
    return [breach for rule in every_rule() for breach in sorted(rule.breaches(heard), key=lambda breach: breach.slot)]


def told_apart(
    plan: Plan, found: Iterable[Breach], excused: Collection[str]
) -> tuple[tuple[Breach, ...], tuple[Breach, ...]]:
    """Breaches that count, and those that held notes are excused for: of the rules named, in a part that is held."""
    held = {held.part for held in plan.held}
    counted: list[Breach] = []
    let_off: list[Breach] = []
    for breach in found:
        fits = breach.rule in excused and (breach.part in held if breach.part else bool(held))
        (let_off if fits else counted).append(breach)
    return tuple(counted), tuple(let_off)


def excuse_lines(plan: Plan, excused: Iterable[Breach]) -> list[str]:
    """What held notes are excused for, a line for each rule and part, with the first few places."""
    places: dict[tuple[str, str], list[str]] = {}
    for breach in excused:
        places.setdefault((breach.rule, breach.part or "all parts"), []).append(plan.place(breach.slot))
    lines = []
    for (rule, part), every in places.items():
        known = list(dict.fromkeys(every))
        more = f" and {len(known) - MOST_PLACES} more" if len(known) > MOST_PLACES else ""
        lines.append(f'{part}: locked notes break "{rule}" ({"; ".join(known[:MOST_PLACES])}{more})')
    return lines
