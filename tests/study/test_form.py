"""Repeats and what they vary; sections of longer pieces."""

from __future__ import annotations

import pytest

from solver.study.form import form_words, repeat_of, rhythm_repeats, sections_of, statements_of, upbeat_of
from solver.study.loop import LoopPart
from tests.study.loops_in_text import Events, loop, repeated

A: Events = [(0, 4, 69), (4, 4, 72), (8, 4, 76), (12, 4, 72), (16, 8, 71), (24, 4, 74), (28, 4, 76)]  # two bars
B: Events = [(0, 2, 60), (2, 6, 62), (8, 8, 64), (16, 4, 65), (20, 4, 67), (24, 8, 72)]


def late(events: Events, slots: int) -> Events:
    return [(onset + slots, length, pitch) for onset, length, pitch in events]


def only(bars: int, events: Events) -> tuple:
    made = loop(bars, line=events)
    return made, made.parts[0]


def test_an_exact_repeat() -> None:
    made, part = only(8, repeated(A, 4, 32))
    repeat = repeat_of(made, part)
    assert repeat is not None
    assert (repeat.every, repeat.varied, repeat.at_end) == (2, (), True)
    assert form_words(statements_of(made, repeat)) == "A A A A"


@pytest.mark.parametrize(
    ("last", "varied"),
    [
        ([*A[:6], (28, 4, 77)], (124,)),  # another pitch
        ([*A[:5], (24, 8, 74)], (124,)),  # a note less
        ([*A[:6], (28, 2, 76), (30, 2, 74)], (126,)),  # a note more
        ([*A[:6], (29, 3, 76)], (124, 125)),  # a note later
        ([*A[:6], (28, 2, 76)], ()),  # only shorter
    ],
)
def test_what_the_last_statement_changes(last: Events, varied: tuple[int, ...]) -> None:
    made, part = only(8, [*repeated(A, 3, 32), *late(last, 96)])
    repeat = repeat_of(made, part)
    assert repeat is not None
    assert (repeat.every, repeat.varied) == (2, varied)
    assert form_words(statements_of(made, repeat)) == ("A A A A'" if varied else "A A A A")


def test_a_statement_that_is_nearly_two_halves_is_one_statement() -> None:
    changed = [*A[:6], (28, 4, 79)]
    statement = [*A, *late(changed, 32)]
    made, part = only(8, [*statement, *late([*A, *late([*changed[:6], (28, 4, 81)], 32)], 64)])
    repeat = repeat_of(made, part)
    assert repeat is not None
    assert (repeat.every, repeat.varied) == (4, (124,))


def test_returns_that_all_differ_a_little() -> None:
    ways = [[*A[:6], (28, 4, pitch)] for pitch in (76, 77, 79, 74)]
    made, part = only(8, [event for turn, way in enumerate(ways) for event in late(way, 32 * turn)])
    repeat = repeat_of(made, part)
    assert repeat is not None
    assert (repeat.every, repeat.varied, repeat.at_end) == (2, (60, 92, 124), False)


def test_no_repeat() -> None:
    made, part = only(4, [*A, *late(B, 32)])
    assert repeat_of(made, part) is None
    assert repeat_of(*only(4, [(0, 64, 60)])) is None


def test_a_rhythm_that_comes_again_with_other_pitches() -> None:
    other = [(onset, length, pitch + 5 - onset // 8) for onset, length, pitch in A]
    made, part = only(4, [*A, *late(other, 32)])
    assert repeat_of(made, part) is None
    assert rhythm_repeats(made, part) == 2
    assert rhythm_repeats(*only(4, [*A, *late(B, 32)])) is None


def blocks(order: str) -> Events:
    """Sections of eight bars, each made of two-bar phrases that are its own."""
    made: Events = []
    for index, letter in enumerate(order):
        base = A if letter == "A" else B
        for phrase in range(4):
            moved = [
                (onset, length, pitch + 2 * phrase * (1 if letter == "A" else -1)) for onset, length, pitch in base
            ]
            made += late(moved, 32 * (4 * index + phrase))
    return made


@pytest.mark.parametrize("order", ["AABB", "ABAB", "AABA", "ABA"])
def test_sections(order: str) -> None:
    made, part = only(8 * len(order), blocks(order))
    sections = sections_of(made, part)
    letters = "".join(section.letter for section in sections)
    starts = [section.start for section in sections]
    merged = {"ABAB": ("AA", [0, 16])}.get(order, (order, [8 * index for index in range(len(order))]))
    assert (letters, starts) == merged


def test_a_section_that_comes_back_changed_has_a_prime() -> None:
    changed = blocks("AABB")
    changed[-1] = (changed[-1][0], changed[-1][1], changed[-1][2] + 3)
    made, part = only(32, changed)
    assert form_words(sections_of(made, part)) == "A A B B'"


def test_sections_after_an_upbeat() -> None:
    events = [(onset + 16, length, pitch) for onset, length, pitch in blocks("AABB")]
    tune = [(12, 4, 64), *[event for event in events if event[0] % 128 != 12]]
    made = loop(33, line=tune)
    part = made.parts[0]
    assert upbeat_of(made, part) == 4
    assert [(section.letter, section.start) for section in sections_of(made, part)] == [
        ("A", 1),
        ("A", 9),
        ("B", 17),
        ("B", 25),
    ]


def test_no_upbeat_where_the_bar_is_more_than_half_full() -> None:
    for first in (0, 6, 8):
        made = loop(2, line=[(first, 4, 60), (20, 4, 62)])
        part: LoopPart = made.parts[0]
        assert upbeat_of(made, part) == 0
