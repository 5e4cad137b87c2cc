"""Hold an arrangement against a brief by the plain halves of the rules, which know no solver."""

from __future__ import annotations

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rules import every_rule
from solver.rules.rule import Breach


def breaches(plan: Plan, arrangement: Arrangement) -> list[Breach]:
    """Every breach of every rule, in the order of the rules, then of time."""
    heard = Heard(plan, arrangement)
    return [breach for rule in every_rule() for breach in sorted(rule.breaches(heard), key=lambda breach: breach.slot)]
