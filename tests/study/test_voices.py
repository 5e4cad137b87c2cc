"""Lines in one track are told apart; chords, arpeggios and single lines stay whole."""

from __future__ import annotations

import pytest

from solver.study.voices import lines_of, overlaps, separated
from tests.study.loops_in_text import Events, chord_bars, loop, repeated

HIGH: Events = [(0, 4, 72), (4, 4, 76), (8, 2, 74), (10, 6, 71)]
MIDDLE: Events = [(4, 8, 60), (12, 4, 62)]
LOW: Events = [(0, 12, 40), (12, 4, 43)]


def as_sets(notes: list[list]) -> list[set[tuple[int, int]]]:
    return [{(note.onset, note.pitch) for note in line} for line in notes]


@pytest.mark.parametrize("lines", [[HIGH, LOW], [HIGH, MIDDLE, LOW]])
def test_lines_in_one_track(lines: list[Events]) -> None:
    made = separated(loop(4, all=repeated([event for line in lines for event in line], 4, 16)))
    assert as_sets([list(part.notes) for part in made.parts]) == [
        {(onset, pitch) for onset, _, pitch in repeated(line, 4, 16)} for line in lines
    ]
    number = len(lines)
    assert made.remarks[-1] == (
        f"The file has one track; {number} lines were told apart in it by register and voice leading."
    )


def test_lines_may_cross_each_others_registers_without_crossing() -> None:
    """Where the low line climbs above the high line's lowest notes, voice leading decides."""
    high = [(0, 4, 76), (4, 4, 74), (8, 4, 72), (12, 4, 74)]
    low = [(0, 4, 52), (4, 4, 55), (8, 4, 60), (12, 4, 57)]
    part = loop(4, all=repeated(high + low, 4, 16)).parts[0]
    assert as_sets(lines_of(part, 2)) == [{(o, p) for o, _, p in repeated(line, 4, 16)} for line in (high, low)]


@pytest.mark.parametrize(
    "events",
    [
        repeated(HIGH, 4, 16),
        chord_bars(*[(48, 55, 60, 64)] * 4),
        repeated([(0, 16, 48), (2, 14, 55), (4, 12, 60), (6, 10, 64), (8, 8, 60), (10, 6, 55)], 4, 16),  # rings on
        [(0, 4, 60), (2, 4, 62)],
    ],
    ids=["one line", "struck chords", "ringing chord", "two notes"],
)
def test_what_stays_whole(events: Events) -> None:
    made = loop(4, all=events)
    assert separated(made) is made


def test_several_tracks_are_taken_as_they_are() -> None:
    made = loop(4, one=repeated(HIGH + LOW, 4, 16), other=repeated(MIDDLE, 4, 16))
    assert separated(made) is made


def test_overlaps_are_counted_beyond_one_slot() -> None:
    assert overlaps(loop(1, x=[(0, 5, 60), (4, 4, 62)]).parts[0].notes) == 0
    assert overlaps(loop(1, x=[(0, 8, 60), (4, 4, 62)]).parts[0].notes) == 1 / 2
