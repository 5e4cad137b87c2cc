"""Roles, figures, textures and motions, each with an example that has it and one that lacks it."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.music.scales import parse_key
from solver.study.chord_fit import Candidate
from solver.study.figures import figure_of, motion_of, moves_of
from solver.study.harmony import Harmony, Span, harmony_of
from solver.study.roles import answering, pitches_per_pass, roots_started
from solver.study.study import study_of
from solver.study.texture import texture_of
from tests.study.loops_in_text import Events, chord_bars, loop, repeated

AM = Harmony((Span(0, 64, Candidate(9, "m")),), 4, 1.0)
KEY = parse_key("A minor")
LEAD: Events = [(0, 3, 76), (3, 3, 81), (6, 2, 79), (8, 4, 76), (12, 4, 72)]
LOW: Events = [(0, 8, 45), (8, 8, 48)]


def roles(bars: int, **parts: Events) -> dict[str, str]:
    return {part.name: part.role for part in study_of(Path("x.mid"), loop(bars, **parts)).parts}


def test_a_lone_part() -> None:
    assert roles(4, x=repeated(LEAD, 4, 16)) == {"lead": "lead"}
    assert roles(4, x=repeated(LOW, 4, 16)) == {"low": "low"}
    assert roles(4, x=chord_bars(*[(57, 60, 64)] * 4)) == {"chords": "chords"}


def test_lead_over_low_whatever_the_order_of_the_tracks() -> None:
    assert roles(4, a=repeated(LEAD, 4, 16), b=repeated(LOW, 4, 16)) == {"lead": "lead", "low": "low"}
    assert roles(4, a=repeated(LOW, 4, 16), b=repeated(LEAD, 4, 16)) == {"lead": "lead", "low": "low"}


def test_a_sparse_line_between_is_the_background() -> None:
    between = repeated([(4, 8, 64)], 4, 16)
    assert set(roles(4, a=repeated(LEAD, 4, 16), b=between, c=repeated(LOW, 4, 16))) == {"lead", "background", "low"}


def test_a_line_that_answers_is_a_counter() -> None:
    call = [(0, 4, 76), (4, 4, 81), (16, 4, 79), (20, 4, 76), (24, 2, 74), (26, 2, 72)]
    answer = [(9, 2, 69), (11, 2, 72), (13, 3, 64), (29, 1, 65), (30, 2, 69)]
    moving = [(onset + 32, length, pitch + (3 if onset < 16 else -2)) for onset, length, pitch in answer]
    found = roles(4, a=repeated(call, 2, 32), b=[*answer, *moving], c=repeated(LOW, 4, 16))
    assert set(found) == {"lead", "counter", "low"}


def test_struck_and_broken_chords_under_a_melody_are_chords() -> None:
    struck = chord_bars(*[(57, 60, 64)] * 4)
    broken = repeated([(2 * i, 2, (57, 60, 64, 69, 64, 60, 57, 60)[i]) for i in range(8)], 4, 16)
    for chords in (struck, broken):
        found = roles(4, a=repeated(LEAD, 4, 16), b=chords, c=repeated(LOW, 4, 16))
        assert set(found) == {"lead", "chords", "low"}


def test_two_chord_parts_and_no_melody_leave_a_lead() -> None:
    found = roles(4, a=chord_bars(*[(69, 72, 76)] * 4), b=chord_bars(*[(57, 60, 64)] * 4))
    assert sorted(found.values()).count("lead") == 1


@pytest.mark.parametrize(
    ("events", "texture"),
    [
        (LEAD, "single"),
        ([(0, 4, 60), (0, 4, 64), (4, 4, 62), (4, 4, 65)], "dyads"),
        (chord_bars((57, 60, 64)), "chords"),
        ([(0, 4, 60), (0, 4, 64), (4, 4, 62), (8, 4, 62)], "single"),
    ],
)
def test_textures(events: Events, texture: str) -> None:
    assert texture_of(loop(4, x=events).parts[0]) == texture


@pytest.mark.parametrize(
    ("line", "figure"),
    [
        ([57, 60, 64, 69, 64, 60, 57, 60], "broken chord"),
        ([57, 60, 64, 71, 64, 60, 57, 59], "few notes"),  # two notes outside the chord
        ([69, 71, 72, 74, 76, 74, 72, 71], "steps"),
        ([69, 71, 72, 76, 72, 69, 71, 76], "few notes"),
        ([69] * 8, "few notes"),
    ],
)
def test_figures(line: list[int], figure: str) -> None:
    made = loop(4, x=repeated([(2 * i, 2, pitch) for i, pitch in enumerate(line)], 4, 16))
    assert figure_of(made, AM, KEY, made.parts[0]) == figure


def test_a_slow_broken_chord_is_few_notes() -> None:
    made = loop(4, x=repeated([(0, 5, 57), (5, 6, 60), (11, 5, 64)], 4, 16))
    assert figure_of(made, AM, KEY, made.parts[0]) == "few notes"


def test_moves_count_steps_of_the_scale_as_the_chord_alters_it() -> None:
    made = loop(4, x=[(0, 4, 67), (4, 4, 69), (8, 4, 69), (12, 4, 76), (16, 4, 72), (20, 4, 71)])
    moves = moves_of(made, AM, KEY, made.parts[0])
    assert (moves.steps, moves.repeats, moves.leaps, moves.largest) == (2, 1, 2, 7)


@pytest.mark.parametrize(
    ("pitches", "motion"),
    [
        ((57, 55, 53, 52), "down"),
        ((57, 57, 53, 52), "down"),
        ((52, 53, 55, 57), "up"),
        ((57, 55, 57, 52), "free"),
        ((57, 57, 57, 57), "hold"),
    ],
)
def test_motions(pitches: tuple[int, ...], motion: str) -> None:
    made = loop(4, x=chord_bars(*[(pitch,) for pitch in pitches]))
    assert motion_of(made, AM, made.parts[0], lowest=True) == motion


def test_hold_changes_with_the_chord_only() -> None:
    two = Harmony((Span(0, 32, Candidate(9, "m")), Span(32, 64, Candidate(5, ""))), 4, 1.0)
    held = loop(4, x=chord_bars((57,), (57,), (53,), (53,)))
    assert motion_of(held, two, held.parts[0], lowest=True) == "hold"
    moving = loop(4, x=chord_bars((57,), (60,), (53,), (57,)))
    assert motion_of(moving, two, moving.parts[0], lowest=True) == "free"


def test_of_a_stroke_the_top_counts_or_the_lowest() -> None:
    made = loop(4, x=chord_bars((50, 69), (52, 67), (53, 65), (55, 64)))
    assert motion_of(made, AM, made.parts[0], lowest=False) == "down"
    assert motion_of(made, AM, made.parts[0], lowest=True) == "up"


def test_roots_pitches_and_answers_are_counted() -> None:
    made = loop(4, a=repeated(LEAD, 4, 16), c=repeated(LOW, 4, 16))
    harmony = harmony_of(made)
    assert roots_started(harmony, made.parts[1]) == 1
    assert roots_started(harmony, made.parts[0]) == 0
    assert pitches_per_pass(made, harmony, made.parts[0]) == 4
    assert answering(made.parts[1], made.parts[0]) == 0
    assert answering(loop(1, x=[(1, 1, 60), (0, 1, 62)]).parts[0], made.parts[0]) == 1 / 2
