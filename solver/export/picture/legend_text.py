"""What the legend says, and how many lines it takes."""

from __future__ import annotations

from textwrap import wrap

from solver.brief.plan import PartPlan, Plan
from solver.music.ornaments import NONE

COLUMNS = 3
MOST_LETTERS = ((42, 3), (68, 2))  # letters that fit beside a rope, and in how many columns
LETTER = 8.4  # width of a letter, on the wide side of the usual
NAME_LETTERS = 20  # of a part's name that stand on one line at a row's end

OPEN, FLAG, ROOT, SLACK, RING, ORNAMENT = "open", "flag", "root", "slack", "ring", "ornament"
SIGN_WORDS = {
    OPEN: "open knot: a note outside the chord",
    FLAG: "flag: varied in the last statement",
    ROOT: "dashes: the root of the chord",
    SLACK: "slack thread: the part rests",
    RING: "dots: the string rings on",
    ORNAMENT: "zigzag or steps: an ornament",
}


def signs_of(plan: Plan) -> list[str]:
    """The signs that a plan's picture may hold."""
    repeats = any(part.repeat_every for part in plan.parts)
    rings = any(part.rings for part in plan.parts)
    decorated = any(part.ornaments != NONE for part in plan.parts)
    asked = ((FLAG, repeats), (ROOT, True), (SLACK, True), (RING, rings), (ORNAMENT, decorated))
    return [OPEN, *(sign for sign, wanted in asked if wanted)]


def part_words(part: PartPlan) -> tuple[str, str]:
    """A part's name, and what it is."""
    what = part.instrument.name if part.name == part.role else f"{part.role}, {part.instrument.name}"
    return part.name, what


def part_columns(plan: Plan) -> int:
    """Columns in which the parts stand: fewer where their words are long."""
    longest = max(len(name) + len(what) for name, what in map(part_words, plan.parts))
    return next((columns for letters, columns in MOST_LETTERS if longest <= letters), 1)


def name_lines(name: str) -> list[str]:
    """A part's name in lines for a row's end: whole, however long it is."""
    return wrap(name, NAME_LETTERS)


def names_width(plan: Plan) -> float:
    """The width of the longest line of a part's name."""
    return LETTER * max(len(line) for part in plan.parts for line in name_lines(part.name))


def part_lines(plan: Plan) -> int:
    """Lines that the parts take."""
    return -(-len(plan.parts) // part_columns(plan))


def legend_lines(plan: Plan) -> int:
    """Lines that the whole legend takes: the parts, then the signs."""
    return part_lines(plan) + -(-len(signs_of(plan)) // COLUMNS)


def shortened(words: str, most: int) -> str:
    """Words cut to so many letters, with a sign that they were."""
    return words if len(words) <= most else words[: most - 1] + "…"
