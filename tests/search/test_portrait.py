"""What is said of where the low part goes is true of its notes."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.held import Held
from solver.music.pitch import parse_note
from solver.search.portrait import portraits
from tests.rules.small import heard, plan_of

SAID = [
    ("C2 C2 C2 C2 | C2 C2 C2 C2", "low stays on C2"),
    ("C2 D2 E2 . | C2 D2 E2 .", "low goes from C2 to E2"),
    ("C2 D2 D2 E2 | F2 G2 A2 B2", "low walks up from C2 to B2"),
    ("G2 . F2 . | E2 . D2 .", "low walks down from G2 to D2"),
    ("G2 . . . | A1 . . .", "low goes from G2 to A1"),
    ("D2 . C2 . | A2 . B2 .", "low goes from D2 to B2"),
    ("D2 . B2 . | D2 . D2 .", "low goes from D2 by B2 to D2"),
    ("C2 D2 E2 F2 | C3 . . G2", "low goes from C2 by C3 to G2"),
]
PLAN = plan_of("bars = 2; chord_bars = 2", low='instrument = "bass guitar"; range = "A1..C3"')
SCALE = ("C2", "D2", "E2", "F2", "G2", "A2", "B2")


def said_of(text: str, locked: int = 0) -> str:
    """What is said of a low part; its first bars may be locked."""
    held = (Held("low", 0, locked * PLAN.metre.grid, "notes", (), "lock low"),) if locked else ()
    plan = replace(PLAN, held=held)
    (sentence,) = portraits(plan, [heard(plan, low=text).arrangement])
    return sentence.split("; ")[0]


@pytest.mark.parametrize(("text", "sentence"), SAID)
def test_the_low_part(text: str, sentence: str) -> None:
    assert said_of(text) == sentence


def test_it_starts_where_nothing_is_locked() -> None:
    assert said_of("C3 . G2 . | C2 D2 E2 F2", locked=1) == "low walks up from C2 to F2"
    assert said_of("C2 . G2 . | D2 D2 D2 D2", locked=1) == "low goes from C2 by G2 to D2"


@given(st.lists(st.sampled_from(SCALE), min_size=8, max_size=8))
@settings(max_examples=60, deadline=None)
def test_every_phrase_is_true(names: list[str]) -> None:
    words = said_of(" ".join(names[:4]) + " | " + " ".join(names[4:])).split()
    places = [SCALE.index(name) for name in names]
    moves = {b - a for a, b in itertools.pairwise(places)} - {0}
    match words[1]:
        case "stays":
            assert set(names) == {words[-1]}
        case "walks":
            assert moves == {1 if words[2] == "up" else -1}
            assert (words[4], words[-1]) == (names[0], names[-1])
        case _:
            named = [word for word in words if word in SCALE]
            assert (named[0], named[-1]) == (names[0], names[-1])
            assert all(a != b for a, b in itertools.pairwise(named))
            assert moves
            far = max(abs(parse_note(name) - parse_note(names[0])) for name in names)
            assert any(abs(parse_note(name) - parse_note(names[0])) == far for name in named)
