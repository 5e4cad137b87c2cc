"""The check: every breach of every rule, by plain notes alone."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

from solver.check import breaches, excuse_lines, told_apart
from solver.held import Held
from solver.rules import every_rule, passing_notes
from solver.rules.rule import Breach
from tests.rules.small import heard, plan_of

PLAN = plan_of("grid = 8", lead='range = "C5..C6"', low="")
GOOD = {"lead": "C5 . . E5 . . G5 .", "low": "C3 . . . G3 . . ."}


def test_a_piece_without_a_breach() -> None:
    assert breaches(PLAN, heard(PLAN, **GOOD).arrangement) == []


def test_all_breaches_in_the_order_of_the_rules_then_of_time() -> None:
    bad = heard(PLAN, lead="F#5 . . E5 . . B4 .", low="G3 . . . G3 . . .").arrangement
    found = breaches(PLAN, bad)
    order = {rule.name: number for number, rule in enumerate(every_rule())}
    assert [(order[breach.rule], breach.slot) for breach in found] == sorted(
        (order[breach.rule], breach.slot) for breach in found
    )
    assert {breach.rule for breach in found} == {
        "inside the range",
        "in the scale",
        "strong beats carry chord tones",
        "notes outside the chord come and go by step",
        "the low part starts on the root or the named bass",
        "the low part is more than one note",
        "every chord tone sounds",
    }


def test_a_breach_as_a_line_of_a_report() -> None:
    bad = heard(PLAN, **GOOD | {"lead": "C5 . . F#5 . . G5 ."}).arrangement
    assert [breach.line(PLAN) for breach in breaches(PLAN, bad)] == [
        "in the scale: lead, bar 1, beat 2.5: F#5 is not in C major under C",
        f"{passing_notes.NAME}: lead, bar 1, beat 2.5: F#5 is outside the chord and not passed by step",
        "every chord tone sounds: bar 1, beat 1: the third of C is missing",
    ]


def test_it_knows_no_solver() -> None:
    """The plain halves import neither ortools nor the pitch model."""
    program = (
        "import sys; import solver.check; from solver.rules import every_rule; every_rule(); "
        "print(sorted(name for name in sys.modules if name.startswith('ortools') or name == 'solver.search.model'))"
    )
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_what_is_excused_is_a_line_for_each_rule_and_part() -> None:
    plan = plan_of("bars = 2; grid = 4", lead="", low="")
    found = [Breach("a rule", "lead", slot, "why") for slot in (0, 0, 1, 4, 6)] + [Breach("another", None, 4, "why")]
    assert excuse_lines(plan, found) == [
        'lead: locked notes break "a rule" (bar 1, beat 1; bar 1, beat 2; bar 2, beat 1 and 1 more)',
        'all parts: locked notes break "another" (bar 2, beat 1)',
    ]


def test_only_a_named_rule_in_a_held_part_is_excused() -> None:
    plan = plan_of("bars = 2; grid = 4", lead="", low="")
    plan = replace(plan, held=(Held("lead", 0, 4, "notes", (), "a test"),))
    lead, low, all_parts = (Breach("a rule", part, 0, "why") for part in ("lead", "low", None))
    other = Breach("another", "lead", 0, "why")
    assert told_apart(plan, [lead, low, all_parts, other], {"a rule"}) == ((low, other), (lead, all_parts))
    assert told_apart(replace(plan, held=()), [lead, all_parts], {"a rule"}) == ((lead, all_parts), ())
