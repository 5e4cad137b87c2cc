"""Rhythm, instruments, bass and coverage of single parts."""

from __future__ import annotations

import pytest

from solver.music.instruments import load_instruments
from solver.music.scales import parse_key
from solver.study.bass import bass_returns, slash_basses
from solver.study.chord_fit import Candidate
from solver.study.coverage import coverage_of
from solver.study.figures import figure_of
from solver.study.harmony import Harmony, Span, harmony_of
from solver.study.playing import instrument_of, plays
from solver.study.rhythm_facts import density_of, rhythm_of
from tests.study.loops_in_text import Events, chord_bars, loop, part, repeated

INSTRUMENTS = load_instruments()


def test_rhythm() -> None:
    made = loop(4, x=[(0, 2, 60), (3, 3, 62), (16, 2, 60), (19, 3, 64), (32, 8, 60)])
    rhythm = rhythm_of(made, made.parts[0])
    assert (rhythm.per_bar, rhythm.silent_bars) == ((1, 2), 1)
    assert rhythm.cell == "x..x............"
    assert rhythm.cell_bars == (0, 1)
    assert rhythm.held == (32,)
    assert rhythm.repeats is None
    assert density_of(made, made.parts[0]) == pytest.approx(5 / 3)


def test_syncopation_is_that_of_longuet_higgins_and_lee() -> None:
    """Two bars of the rhythm son: 4 a bar (recomputed from the definition of 1984, as in the tests of the metre)."""
    son = [(slot, 1, 60) for slot in (0, 3, 6, 10, 12)]
    made = loop(2, x=repeated(son, 2, 16))
    assert rhythm_of(made, made.parts[0]).syncopation == 4
    assert rhythm_of(made, made.parts[0]).repeats == 1


@pytest.mark.parametrize(("every", "figure"), [(4, "steps"), (8, "few notes")])
def test_steps_are_those_of_a_running_line(every: int, figure: str) -> None:
    """Two notes a bar that go by step are a slow line, such as a bass has."""
    made = loop(4, x=[(at, every, 60 + (0, 2, 4, 5)[at // every % 4]) for at in range(0, 64, every)])
    assert figure_of(made, harmony_of(made), parse_key("C major"), made.parts[0]) == figure


@pytest.mark.parametrize(
    ("events", "program", "name"),
    [
        ([(0, 4, 64)], None, "electric guitar"),
        ([(0, 4, 64)], 24, "nylon guitar"),
        ([(0, 4, 64)], 28, "muted electric guitar"),
        ([(0, 4, 30)], 27, "bass guitar"),  # below what the program's instrument has
        ([(0, 4, 36)], None, "bass guitar"),
        ([(0, 4, 37), (4, 4, 60)], None, "baritone guitar"),
        ([(0, 4, 64)], 73, "electric guitar"),
        ([(0, 4, 100)], None, None),
        ([(0, 4, 48), (0, 4, 49), (0, 4, 50)], None, None),  # no hand holds these at once
        (chord_bars((48, 52, 55, 60)), None, "electric guitar"),
    ],
)
def test_instruments(events: Events, program: int | None, name: str | None) -> None:
    found = instrument_of(part("x", events, program), INSTRUMENTS)
    assert (found.name if found else None) == name
    if found:
        assert plays(part("x", events), found)


def harmony(*spans: tuple[int, int, int, str]) -> Harmony:
    return Harmony(tuple(Span(start, end, Candidate(root, quality)) for start, end, root, quality in spans), 2, 1.0)


def test_a_bass_that_is_always_the_third_is_a_slash() -> None:
    two = harmony((0, 16, 2, ""), (16, 32, 9, ""), (32, 48, 2, ""), (48, 64, 9, ""))
    high = repeated([(0, 16, 74), (16, 16, 76)], 2, 32)
    always = loop(4, high=high, low=[(0, 16, 38), (16, 16, 37), (32, 16, 42), (48, 16, 37)])
    assert slash_basses(always, two) == {16: 1}
    once = loop(4, high=high, low=[(0, 16, 38), (16, 16, 37), (32, 16, 42), (48, 16, 33)])
    assert slash_basses(once, two) == {}
    foreign = loop(4, high=high, low=[(0, 16, 38), (16, 16, 35), (32, 16, 42), (48, 16, 35)])
    assert slash_basses(foreign, two) == {}
    fifth = loop(4, high=high, low=[(0, 16, 38), (16, 16, 40), (32, 16, 42), (48, 16, 40)])
    assert slash_basses(fifth, two) == {}  # a bass that moves, and no other chord
    assert slash_basses(loop(4, high=high), two) == {}


def test_the_bass_under_each_return() -> None:
    low = part("low", [(0, 16, 40), (40, 8, 43)])
    found = bass_returns(loop(4), low, 2)
    assert [(entry.slot, entry.pitch) for entry in found] == [(0, 40), (32, None)]


def test_who_plays_what() -> None:
    made = loop(4, lead=repeated([(0, 8, 76), (8, 8, 74)], 4, 16), low=repeated([(0, 16, 45)], 4, 16))
    found = coverage_of(made, Harmony((Span(0, 64, Candidate(9, "m")),), 4, 1.0), parse_key("A minor"))
    assert [entry.chord.symbol for entry in found] == ["Am"]
    assert found[0].supplied == {"lead": ("fifth",), "low": ("root",)}
    assert found[0].missing == ("third",)
    assert found[0].own == {"lead": ("D", "E"), "low": ("A",)}


def test_the_same_chord_is_one_entry() -> None:
    made = loop(8, strum=chord_bars(*[(57, 60, 64), (53, 57, 60)] * 4))
    found = coverage_of(made, harmony_of(made), parse_key("A minor"))
    assert [entry.chord.symbol for entry in found] == ["Am", "F"]
