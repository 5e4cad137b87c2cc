"""Keys, the scale under a chord, and what a step is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.chords import QUALITIES, Chord, parse_chord
from solver.music.faults import Fault
from solver.music.pitch import LETTERS, Spelled
from solver.music.scales import DEGREES, MOST_ACCIDENTALS, Key, is_step, parse_key, scale_under_chord
from tests.music.faults import reads_or_says_why

ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("", "#", "b")]
ALL_KEYS = [Key(Spelled(letter, alter), mode) for letter in LETTERS for alter in (-1, 0, 1) for mode in DEGREES]
KEYS = st.sampled_from([key for key in ALL_KEYS if abs(key.signature) <= MOST_ACCIDENTALS])
CHORDS = st.builds(
    lambda root, quality, bass: parse_chord(root + quality + bass),
    st.sampled_from(ROOTS),
    st.sampled_from(list(QUALITIES)),
    st.just("") | st.sampled_from(ROOTS).map(lambda bass: f"/{bass}"),
)


@given(KEYS)
def test_a_scale_has_each_letter_once_and_its_name_reads_back(key: Key) -> None:
    assert sorted(note.letter for note in key.scale) == sorted(LETTERS)
    assert len(key.pcs) == 7
    assert parse_key(key.name) == key


@pytest.mark.parametrize(
    "key", [key for key in ALL_KEYS if abs(key.signature) > MOST_ACCIDENTALS], ids=lambda k: k.name
)
def test_a_key_beyond_seven_accidentals_is_named_as_its_playable_twin(key: Key) -> None:
    with pytest.raises(Fault) as caught:
        parse_key(key.name)
    better = parse_key(caught.value.right.split('"')[1])
    assert better.pcs == key.pcs
    assert better.tonic.pc == key.tonic.pc


@given(KEYS, CHORDS)
def test_under_a_chord_all_its_tones_are_in_the_scale_and_only_they_change_it(key: Key, chord: Chord) -> None:
    scale = scale_under_chord(key, chord)
    assert chord.pcs <= scale
    assert scale - key.pcs == chord.pcs - key.pcs
    gone = key.pcs - scale
    foreign = {tone.letter for tone in (*chord.tones, chord.bass) if tone.pc not in key.pcs}
    assert {note.letter for note in key.scale if note.pc in gone} <= foreign
    if chord.pcs <= key.pcs:
        assert scale == key.pcs


@pytest.mark.parametrize(
    ("key", "chord", "pcs"),
    [
        ("A minor", "E7", {9, 11, 0, 2, 4, 5, 8}),  # G# replaces G
        ("A minor", "Am", {9, 11, 0, 2, 4, 5, 7}),
        ("C major", "Fm", {0, 2, 4, 5, 7, 8, 11}),  # Ab replaces A
        ("C major", "Am/G#", {0, 2, 4, 5, 8, 9, 11}),  # the bass that a slash names replaces as well
        ("C major", "G/G#", {0, 2, 4, 5, 7, 8, 9, 11}),  # G is a chord tone itself: both stay
        ("B minor", "Bm", {11, 1, 2, 4, 6, 7, 9}),
    ],
)
def test_chord_tones_replace_the_notes_of_their_letters(key: str, chord: str, pcs: set[int]) -> None:
    assert scale_under_chord(parse_key(key), parse_chord(chord)) == pcs


@given(st.integers(20, 100), st.integers(-6, 6), KEYS)
def test_a_step_is_to_the_neighbour(pitch: int, leap: int, key: Key) -> None:
    step = is_step(pitch, pitch + leap, key.pcs)
    assert step == is_step(pitch + leap, pitch, key.pcs)
    if pitch % 12 in key.pcs:
        above = next(p for p in range(pitch + 1, pitch + 5) if p % 12 in key.pcs)
        if leap > 0 and (pitch + leap) % 12 in key.pcs:
            assert step == (pitch + leap == above)


def test_steps_by_example() -> None:
    minor = parse_key("A harmonic minor").pcs
    assert is_step(53, 56, minor)  # F to G#: three semitones, yet neighbours
    assert not is_step(52, 55, minor)  # F lies between E and G
    assert not is_step(60, 60, minor)  # a repeated note is no step
    assert not is_step(60, 64, frozenset({0, 4, 7}))  # neighbours in a triad, but four semitones
    assert is_step(60, 61, parse_key("C major").pcs)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("B MINOR", "B minor"),
        ("A natural minor", "A minor"),
        ("C Ionian", "C major"),
        ("D  Aeolian", "D minor"),
        ("F# Harmonic Minor", "F# harmonic minor"),
        ("B♭ major", "Bb major"),
    ],
)
def test_other_names_of_modes(text: str, name: str) -> None:
    assert parse_key(text).name == name


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", 'like "B minor"'),
        ("Bm", '"B minor"'),
        ("B", '"B major"'),
        ("b minor", '"B"'),
        ("B monor", 'did you mean "B minor"'),
        ("B wobbly", "major, minor, harmonic minor"),
        ("H minor", "A to G"),
    ],
)
def test_a_key_that_cannot_be_read_says_what_would_be_right(text: str, hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        parse_key(text)


@given(st.text(max_size=100))
def test_any_text_is_a_key_or_one_clear_line(text: str) -> None:
    assert reads_or_says_why(parse_key, text, longest=300)


def test_flat_keys_prefer_flats() -> None:
    assert parse_key("D minor").prefers_flats
    assert not parse_key("B minor").prefers_flats
    assert not parse_key("A minor").prefers_flats
