"""The fretboard against plain counting: places, reach, what a hand holds, voicings."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.music.chords import parse_chord
from solver.music.fretboard import (
    FINGERS,
    assign_strings,
    fingers,
    holds,
    pitch_at,
    pitches_of,
    places,
    positions,
    reach,
    voicings,
)
from solver.music.instruments import Instrument, load_instruments, tuned

INSTRUMENTS = load_instruments()
GUITAR = INSTRUMENTS["electric guitar"]


@st.composite
def small_instruments(draw: st.DrawFn) -> Instrument:
    """Three or four strings, a few frets: small enough to count through everything."""
    gaps = draw(st.lists(st.integers(0, 7), min_size=2, max_size=3))
    tuning = [draw(st.integers(36, 50))]
    for gap in gaps:
        tuning.append(tuning[-1] + gap)
    frets = draw(st.integers(3, 7))
    span = draw(st.integers(2, 4))
    return Instrument("toy", tuple(tuning), frets, span, draw(st.integers(2, span)), 0, "electric")


def everywhere(instrument: Instrument) -> list[tuple[int, int]]:
    """Every place of the neck."""
    return [(string, fret) for string in range(1, len(instrument.tuning) + 1) for fret in range(instrument.frets + 1)]


def can_hold(shape: tuple[tuple[int, int], ...], instrument: Instrument) -> bool:
    """One note a string, and the fretted ones within the span (four strings never want a fifth finger)."""
    strings = [string for string, _ in shape]
    fretted = [fret for _, fret in shape if fret] or [1]
    return len(set(strings)) == len(strings) and max(fretted) - min(fretted) + 1 <= instrument.chord_span


@given(small_instruments(), st.integers(30, 80))
def test_places_are_all_places_of_a_pitch(instrument: Instrument, pitch: int) -> None:
    expected = [place for place in everywhere(instrument) if pitch_at(place, instrument) == pitch]
    assert list(places(pitch, instrument)) == expected


@given(small_instruments())
def test_a_hand_reaches_its_frets_and_the_open_strings(instrument: Instrument) -> None:
    for position in positions(instrument):
        frets = {0, *range(position, position + instrument.hand_span)}
        assert reach(instrument, position) == {
            pitch_at(place, instrument) for place in everywhere(instrument) if place[1] in frets
        }
    reached = frozenset().union(*(reach(instrument, position) for position in positions(instrument)))
    assert reached == {pitch_at(place, instrument) for place in everywhere(instrument)}


@settings(max_examples=60)
@given(small_instruments(), st.data())
def test_a_hand_holds_what_plain_counting_says(instrument: Instrument, data: st.DataObject) -> None:
    top = instrument.high
    pitches = tuple(data.draw(st.lists(st.integers(instrument.low, top), max_size=len(instrument.tuning) + 1)))
    ways = list(product(*(places(pitch, instrument) for pitch in pitches)))
    expected = [shape for shape in ways if can_hold(shape, instrument)]
    found = assign_strings(pitches, instrument)
    assert holds(pitches, instrument) == bool(expected)
    if found is None:
        assert not expected
    else:
        assert found in expected
        assert pitches_of(found, instrument) == pitches
        assert all(max((f for _, f in found), default=0) <= max((f for _, f in way), default=0) for way in expected)


@settings(max_examples=40)
@given(small_instruments(), st.sets(st.integers(0, 11), min_size=1, max_size=4), st.booleans(), st.data())
def test_voicings_are_all_that_plain_counting_finds(
    instrument: Instrument, tones: set[int], neighbouring: bool, data: st.DataObject
) -> None:
    need = frozenset(data.draw(st.sets(st.sampled_from(sorted(tones)), max_size=2)))
    low, high = sorted(data.draw(st.tuples(st.integers(36, 75), st.integers(36, 75))))
    expected = set()
    for count in (1, 2, 3):
        for shape in combinations(everywhere(instrument), count):
            pitches = sorted(pitch_at(place, instrument) for place in shape)
            strings = [string for string, _ in shape]
            if (
                can_hold(shape, instrument)
                and len(set(pitches)) == count
                and {pitch % 12 for pitch in pitches} <= tones
                and need <= {pitch % 12 for pitch in pitches}
                and low <= pitches[0]
                and pitches[-1] <= high
                and (not neighbouring or max(strings) - min(strings) == count - 1)
            ):
                expected.add(frozenset(shape))
    found = voicings(instrument, tuple(sorted(tones)), low, high, (1, 3), neighbouring=neighbouring, need=need)
    assert {frozenset(voicing) for voicing in found} == expected
    assert len(found) == len(expected)
    assert all(list(pitches_of(voicing, instrument)) == sorted(pitches_of(voicing, instrument)) for voicing in found)
    assert list(found) == sorted(found, key=lambda voicing: (pitches_of(voicing, instrument), voicing))


@pytest.mark.parametrize("name", sorted(INSTRUMENTS))
@pytest.mark.parametrize("symbol", ["Bm", "G", "Am9", "F#m7b5", "Ebsus2", "B5"])
def test_every_instrument_can_strike_the_usual_chords(name: str, symbol: str) -> None:
    instrument, chord = INSTRUMENTS[name], parse_chord(symbol)
    tones = tuple(sorted(chord.pcs))
    dyads = voicings(instrument, tones, instrument.low, instrument.high, (2, 2))
    assert {pc for voicing in dyads for pc in (pitch % 12 for pitch in pitches_of(voicing, instrument))} == chord.pcs
    full = voicings(instrument, tones, instrument.low, instrument.high, (3, 4), need=frozenset({chord.root.pc}))
    assert full
    for voicing in full:
        assert chord.root.pc in {pitch % 12 for pitch in pitches_of(voicing, instrument)}
        assert fingers(voicing) <= FINGERS


@pytest.mark.parametrize(
    ("frets", "needed"),
    [
        ((0, 2, 2, 1, 0, 0), 2),  # E major at the nut: one may press the pair
        ((1, 3, 3, 2, 1, 1), 3),  # F major: the first finger lies across all strings
        ((3, 2, 0, 0, 0, 3), 3),  # an open string between keeps one finger from both ends
        ((1, 3, 3, 0, 1, 1), 3),  # … so the first fret takes two
        ((2, 1, 2, 1, 2, 1), 4),  # a first finger across, and three in front of it
        ((1, 2, 3, 4, 5, 6), 6),
        ((0, 0, 0, 0, 0, 0), 0),
    ],
)
def test_fingers_lie_across_strings_where_nothing_between_sounds_lower(frets: tuple[int, ...], needed: int) -> None:
    assert fingers(tuple((6 - index, fret) for index, fret in enumerate(frets))) == needed


def test_a_hand_by_example() -> None:
    assert assign_strings((40, 47, 52, 56, 59, 64), GUITAR) == ((6, 0), (5, 2), (4, 2), (3, 1), (2, 0), (1, 0))
    assert not holds((40, 41), GUITAR)  # E2 and F2 lie on the lowest string alone
    assert holds((64, 64), GUITAR)  # one pitch on two strings
    assert not holds((28,), GUITAR)
    assert holds((), GUITAR)
    assert assign_strings((40, 62), GUITAR) == ((6, 0), (2, 3))
    assert assign_strings((40, 62), GUITAR, neighbouring=True) == ((6, 0), (5, 17))
    assert assign_strings((52, 62), GUITAR, 2) == ((4, 2), (2, 3))
    assert assign_strings((52, 62), GUITAR, 1) == ((5, 7), (3, 7))
    assert not holds((53, 57, 62, 67, 70), tuned(GUITAR, ["E2", "A2", "D3"]))  # more notes than strings


def test_a_capo_is_the_new_nut() -> None:
    higher = tuned(GUITAR, capo=3)
    assert places(43, higher) == ((6, 0),)
    assert 43 in reach(higher, 7)
    assert positions(higher)[-1] + higher.hand_span - 1 == higher.frets


def test_asking_for_more_than_fits_finds_nothing() -> None:
    assert voicings(GUITAR, (0, 4, 7), 40, 86, (7, 9)) == ()
    assert voicings(GUITAR, (0, 4, 7), 90, 99, (1, 6)) == ()
    assert voicings(GUITAR, (0, 4, 7), 40, 86, (2, 2), need=frozenset({0, 4, 7})) == ()
    assert voicings(GUITAR, (), 40, 86, (1, 6)) == ()
