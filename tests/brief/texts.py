"""Briefs for the tests, and what is wrong with a text."""

from __future__ import annotations

from pathlib import Path

from solver.brief.errors import BriefError, BriefErrors
from solver.brief.planning import checked

PATH = Path("pier.toml")

GOOD = """\
title = "Pier"
key = "B minor"
bars = 8
chords = ["Bm", "G"]

[parts.lead]
role = "lead"

[parts.low]
role = "low"
"""


def with_top(line: str) -> str:
    """The good brief with one more key of the whole brief, in line 1."""
    return f"{line}\n{GOOD}"


def with_part(*lines: str) -> str:
    """The good brief with a part of the name ``more`` that holds the given lines, the first of them in line 13."""
    return "\n".join((f"{GOOD}\n[parts.more]", *lines, ""))


def without(key: str) -> str:
    """The good brief without the lines that start with a key."""
    return "".join(line for line in GOOD.splitlines(keepends=True) if not line.startswith(key))


def errors_of(text: str) -> tuple[BriefError, ...]:
    """The errors of a brief; none where it is right."""
    try:
        checked(text, PATH)
    except BriefErrors as errors:
        return errors.errors
    return ()
