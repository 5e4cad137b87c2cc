"""Beams join short values within a beat."""

from __future__ import annotations

import pytest

from solver.arrangement import Note
from solver.export.score.bars import Written
from solver.export.score.beams import beams
from solver.export.score.values import values_of
from solver.music.metre import parse_metre


def bar(meter: str, *lengths: int) -> list[Written]:
    """Notes of these lengths in slots one after the other; a negative length is a rest."""
    at, found = 0, []
    for length in lengths:
        notes = (Note("lead", at, length, 60),) if length > 0 else ()
        found += [Written(value, notes) for value in values_of(parse_metre(meter), at, at + abs(length), ())]
        at += abs(length)
    return found


@pytest.mark.parametrize(
    ("meter", "lengths", "expected"),
    [
        ("4/4", (2, 2, 2, 2, 8), "begin, end, begin, end, -"),
        ("4/4", (1, 1, 1, 1, 4, 8), "begin begin, continue continue, continue continue, end end, -, -"),
        ("4/4", (3, 1, 4, 8), "begin, end backward hook, -, -"),
        ("4/4", (1, 3, 4, 8), "begin forward hook, end, -, -"),
        ("4/4", (1, 2, 1, 4, 8), "begin forward hook, continue, end backward hook, -, -"),
        ("4/4", (2, -2, 2, 2, 8), "-, -, begin, end, -"),
        ("4/4", (2, 4, 2, 8), "-, -, -, -"),
        ("6/8", (2, 2, 2, 2, 2, 2), "begin, continue, end, begin, continue, end"),
        ("7/8", (2, 2, 2, 2, 2, 2, 2), "begin, end, begin, end, begin, continue, end"),
    ],
)
def test_beams_are_those_of_the_beat(meter: str, lengths: tuple[int, ...], expected: str) -> None:
    found = beams(parse_metre(meter), bar(meter, *lengths))
    assert ", ".join(" ".join(levels) or "-" for levels in found) == expected
