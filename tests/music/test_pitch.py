"""Notes: reading, naming, spelling."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.faults import Fault
from solver.music.pitch import LETTERS, Spelled, frequency, note_name, parse_note, parse_spelled
from tests.music.faults import reads_or_says_why

SPELLED = st.builds(Spelled, st.sampled_from(LETTERS), st.integers(-2, 2))


@given(st.integers(0, 127), st.booleans())
def test_every_midi_number_has_a_name_that_reads_back(midi: int, flats: bool) -> None:
    assert parse_note(note_name(midi, flats)) == midi


@given(SPELLED)
def test_every_spelling_reads_back(note: Spelled) -> None:
    assert parse_spelled(str(note)) == note


@given(SPELLED, st.integers(0, 6))
def test_going_up_by_letters_changes_the_letter_and_the_pitch_by_just_that(note: Spelled, letters: int) -> None:
    semitones = (0, 2, 4, 5, 7, 9, 11)[letters]
    try:
        higher = note.up(letters, semitones)
    except Fault:
        assert abs(note.alter) == 2  # only from a double accidental can a fourth one come
        return
    assert higher.pc == (note.pc + semitones) % 12
    assert higher.letter == LETTERS[(LETTERS.index(note.letter) + letters) % 7]


@given(st.integers(0, 115))
def test_an_octave_doubles_the_frequency(midi: int) -> None:
    assert frequency(midi + 12) == pytest.approx(2 * frequency(midi))


@given(st.text(max_size=80))
def test_any_text_is_a_note_or_one_clear_line(text: str) -> None:
    assert reads_or_says_why(parse_note, text, longest=250)
    assert reads_or_says_why(parse_spelled, text, longest=250)


@pytest.mark.parametrize(
    ("text", "midi"),
    [("E3", 52), ("C4", 60), ("Bb2", 46), ("F#5", 78), ("C-1", 0), ("G9", 127), ("Cb4", 59), ("B#3", 60), ("F♯5", 78)],
)
def test_note_names(text: str, midi: int) -> None:
    assert parse_note(text) == midi


@pytest.mark.parametrize(
    ("text", "hint"),
    [("e3", "a letter A to G"), ("H2", "a letter A to G"), ("C", "an octave"), ("G#9", "C-1 to G9"), ("", "octave")],
)
def test_a_note_that_cannot_be_read_says_what_would_be_right(text: str, hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        parse_note(text)


def test_a_small_letter_is_offered_as_a_capital() -> None:
    with pytest.raises(Fault, match='"Bb"'):
        parse_spelled("bb")


@pytest.mark.parametrize("midi", [-1, 128])
def test_numbers_outside_midi_have_no_name(midi: int) -> None:
    with pytest.raises(Fault, match="0 to 127"):
        note_name(midi)


def test_names_follow_the_wanted_accidentals() -> None:
    assert (note_name(61), note_name(61, flats=True)) == ("C#4", "Db4")
