"""The two factors of melodic expectation (Schellenberg 1997, Music Perception 14(3) 295-318) on worked triples.

The definitions are those that the public MIDI Toolbox states in narmour.m: proximity is the size of the second
interval; after a large interval (7 semitones or more) registral direction is +1 where the direction changes and -1
where it does not, after a small one (5 or less) it is 0. The values were worked from these definitions, by program.
"""

from __future__ import annotations

import pytest

from solver.merits.leaps_turn_back import loss
from solver.merits.small_moves import MERIT as SMALL_MOVES
from solver.music.pitch import note_name
from tests.rules.small import heard, plan_of

# Three MIDI pitches, proximity, registral direction.
TRIPLES = [
    ((60, 67, 65), 2, 1),
    ((60, 67, 60), 7, 1),
    ((60, 67, 69), 2, -1),
    ((60, 62, 60), 2, 0),
    ((60, 62, 64), 2, 0),
    ((72, 60, 64), 4, 1),
    ((60, 72, 70), 2, 1),
    ((60, 69, 59), 10, 1),
    ((60, 61, 62), 1, 0),
]


@pytest.mark.parametrize(("pitches", "proximity", "direction"), TRIPLES)
def test_registral_direction(pitches: tuple[int, int, int], proximity: int, direction: int) -> None:
    """A loss of 2 stands for -1, none for +1 and for what the model says nothing of."""
    assert loss(*pitches) == (2 if direction == -1 else 0)
    assert abs(pitches[2] - pitches[1]) == proximity


@pytest.mark.parametrize(("pitches", "proximity", "direction"), TRIPLES)
def test_upside_down_it_is_the_same(pitches: tuple[int, int, int], proximity: int, direction: int) -> None:
    """The Toolbox's own code forgets falling leaps, which its definition has; a falling leap counts here."""
    upside_down = [120 - pitch for pitch in pitches]
    assert loss(*upside_down) == loss(*pitches)


def test_a_repeated_note_after_a_leap_is_half_a_fault() -> None:
    """The Toolbox counts a repetition as a change of direction (+1). Here it is neither; that is ours, no source."""
    assert loss(60, 67, 67) == 1


def test_a_tritone_is_neither_small_nor_large() -> None:
    assert loss(60, 66, 68) == loss(60, 66, 60) == 0


@pytest.mark.parametrize("size", range(2, 12))
def test_proximity(size: int) -> None:
    """From a whole step on, the larger an interval, the less it is expected, up and down alike."""
    plan = plan_of(lead="")
    there, back, further = (
        SMALL_MOVES.measure(heard(plan, lead=f"C5 {note_name(72 + way)}")) for way in (size, -size, size + 1)
    )
    assert there == back >= further


def test_an_octave_is_less_expected_than_a_step() -> None:
    plan = plan_of(lead="")
    assert SMALL_MOVES.measure(heard(plan, lead="C5 D5")) > SMALL_MOVES.measure(heard(plan, lead="C5 C6"))
