"""What holds for all rules."""

from __future__ import annotations

from pathlib import Path

import solver.rules
from solver.rules import every_rule

RULES = Path(solver.rules.__file__).parent
NO_RULES = {"__init__", "rule", "ornament_kinds"}


def test_every_file_is_one_rule_and_has_its_examples() -> None:
    modules = {path.stem for path in RULES.glob("*.py")} - NO_RULES
    assert modules == {path.stem.removeprefix("test_") for path in Path(__file__).parent.glob("test_*.py")} - {
        "small",
        "every_rule",
    }
    assert len(every_rule()) == len(modules)


def test_names_tell_the_rules_apart() -> None:
    names = [rule.name for rule in every_rule()]
    assert len(set(names)) == len(names)


def test_every_rule_is_posed() -> None:
    """Each has a half for the search; two are so by the way the models are built, one literal for what repeats."""
    halves = (
        "allows_state",
        "allows_move",
        "post",
        "admits",
        "admits_together",
        "allows_ornament",
        "post_ornaments",
    )
    unposed = [rule.name for rule in every_rule() if all(getattr(rule, half) is None for half in halves)]
    assert unposed == ["a line plays one note at a time", "the repeat repeats its ornaments"]
