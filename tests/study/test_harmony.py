"""Chords: the fewest that explain the notes, and after how many bars their list starts again."""

from __future__ import annotations

import pytest

from solver.music.metre import parse_metre
from solver.study.chord_fit import COSTS, Candidate, candidates
from solver.study.evidence import bass_part, evidence_of, melodic_factors, usual_unit
from solver.study.harmony import Harmony, explained, harmony_of, with_thirds
from solver.study.loop import Loop
from tests.study.loops_in_text import chord_bars, loop, repeated

AM, F, C, G = (57, 60, 64), (53, 57, 60), (60, 64, 67), (55, 59, 62)


def found(harmony: Harmony) -> list[tuple[int, int, int, str]]:
    return [(span.start, span.end, span.chord.root, span.chord.quality) for span in harmony.spans]


def test_one_chord_is_one_chord() -> None:
    harmony = harmony_of(loop(8, strum=chord_bars(*[AM] * 8)))
    assert found(harmony) == [(0, 128, 9, "m")]
    assert harmony.explained == 1


def test_two_chords_and_their_pass() -> None:
    harmony = harmony_of(loop(8, strum=chord_bars(AM, AM, F, F, AM, AM, F, F)))
    assert found(harmony) == [(0, 32, 9, "m"), (32, 64, 5, ""), (64, 96, 9, "m"), (96, 128, 5, "")]
    assert harmony.pass_bars == 4
    assert len(harmony.first_pass(16)) == 2
    assert harmony.at(40).chord == Candidate(5, "")


def test_chords_of_half_a_bar_where_they_come_again() -> None:
    halves = [
        (start, 8, pitch) for start, chord in zip(range(0, 64, 8), [AM, F, C, G] * 2, strict=True) for pitch in chord
    ]
    harmony = harmony_of(loop(4, strum=halves))
    assert [(root, quality) for _, _, root, quality in found(harmony)] == [(9, "m"), (5, ""), (0, ""), (7, "")] * 2
    assert harmony.pass_bars == 2


@pytest.mark.parametrize("quality", [quality for quality in COSTS if quality not in ("6", "m6", "dim7", "aug")])
@pytest.mark.parametrize("root", [0, 7])
def test_every_quality_when_it_is_struck(root: int, quality: str) -> None:
    """The root in the bass, every tone in each bar. (Sixth chords are seventh chords on another root, and dim7 and aug
    have no root that can be heard.)"""
    tones = sorted(Candidate(root, quality).degrees, key=lambda pc: (pc - root) % 12)
    struck = tuple(48 + root + (pc - root) % 12 for pc in tones)
    harmony = harmony_of(loop(4, strum=chord_bars(*[struck] * 4), low=chord_bars(*[(36 + root,)] * 4)))
    assert [(r, q) for _, _, r, q in found(harmony)] == [(root, quality)]


def test_passing_notes_change_no_chord() -> None:
    steps = [(0, 4, 69), (4, 2, 71), (6, 2, 72), (8, 4, 76), (12, 2, 74), (14, 2, 72)]
    harmony = harmony_of(loop(4, lead=repeated(steps, 4, 16), low=chord_bars(*[(45,)] * 4)))
    assert found(harmony) == [(0, 64, 9, "m")]


def test_passing_notes_weigh_less() -> None:
    line = loop(1, lead=[(0, 4, 69), (4, 2, 71), (6, 2, 72), (8, 2, 76), (10, 2, 81), (12, 4, 76)])
    factors = melodic_factors(line, line.parts[0])
    assert factors[4] < factors[12]
    assert factors[4] < factors[10]
    assert factors[0] == max(factors.values())


def test_the_lowest_part_is_the_bass() -> None:
    both = loop(1, high=[(0, 16, 72)], low=[(0, 8, 40), (8, 8, 43)])
    assert bass_part(both).name == "low"
    evidence = evidence_of(both, usual_unit(both))
    assert [int(row.argmax()) for row in evidence.bass] == [4, 7]
    assert evidence.heard[0][0] > 0


@pytest.mark.parametrize(
    ("metre", "unit"), [("4/4", 8), ("3/4", 12), ("6/8", 6), ("12/8", 12), ("5/4", 20), ("7/8", 14)]
)
def test_units(metre: str, unit: int) -> None:
    assert usual_unit(Loop(parse_metre(metre), 1, None, ())) == unit


def test_the_share_that_the_chords_explain() -> None:
    both = loop(1, strum=chord_bars(C), line=[(0, 16, 61)])
    harmony = harmony_of(both)
    assert explained(both, harmony.spans) == pytest.approx(3 / 4)


def test_a_third_that_nobody_plays_is_the_keys() -> None:
    bare = loop(4, strum=chord_bars((45, 57, 64), (45, 57, 64), (45, 57, 64), (45, 57, 64)))
    harmony = harmony_of(bare)
    guessed = Harmony((harmony.spans[0].__class__(0, 64, Candidate(9, "")),), 4, 1.0)
    minor = frozenset({9, 11, 0, 2, 4, 5, 7})
    assert with_thirds(guessed, bare, minor).spans[0].chord == Candidate(9, "m")
    assert with_thirds(guessed, bare, minor - {0} | {1}).spans[0].chord == Candidate(9, "")
    sounding = loop(4, strum=chord_bars(*[(57, 61, 64)] * 4))
    assert with_thirds(guessed, sounding, minor).spans[0].chord == Candidate(9, "")


def test_candidates_are_all_roots_and_qualities() -> None:
    assert len(set(candidates())) == 12 * len(COSTS)
    assert Candidate(9, "m7").degrees == {9: "root", 0: "third", 4: "fifth", 7: "seventh"}
