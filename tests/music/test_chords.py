"""Chord symbols: spellings, degrees, errors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.chords import OTHER_SPELLINGS, QUALITIES, parse_chord
from tests.music.faults import reads_or_says_why

ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("", "#", "b")]
SYMBOLS = st.tuples(st.sampled_from(ROOTS), st.sampled_from(list(QUALITIES)), st.none() | st.sampled_from(ROOTS))


@given(SYMBOLS)
def test_every_symbol_reads_and_its_own_spelling_reads_the_same(parts: tuple[str, str, str | None]) -> None:
    root, quality, bass = parts
    chord = parse_chord(root + quality + (f"/{bass}" if bass else ""))
    assert parse_chord(chord.symbol) == chord
    assert str(chord.root) == root
    assert chord.quality == quality
    assert str(chord.bass) == (bass or root)
    assert chord.slash == (bass is not None and bass != root)


@given(SYMBOLS)
def test_each_tone_has_its_degree_and_nothing_else_has_one(parts: tuple[str, str, str | None]) -> None:
    root, quality, bass = parts
    chord = parse_chord(root + quality + (f"/{bass}" if bass else ""))
    assert {pc for pc in range(12) if chord.degree(pc) is not None} == chord.pcs
    assert chord.degree(chord.root.pc) == "root"
    if chord.bass.pc not in {tone.pc for tone in chord.tones}:
        assert chord.degree(chord.bass.pc) == "bass"
    assert chord.fifth is None or chord.degree(chord.fifth) == "fifth"


@given(st.sampled_from(ROOTS), st.sampled_from(sorted(OTHER_SPELLINGS)))
def test_other_spellings_read_as_the_usual_one(root: str, spelling: str) -> None:
    assert parse_chord(root + spelling) == parse_chord(root + OTHER_SPELLINGS[spelling])


@given(st.text(max_size=100))
def test_any_text_is_a_chord_or_one_clear_line(text: str) -> None:
    assert reads_or_says_why(parse_chord, text, longest=450)


@pytest.mark.parametrize(
    ("symbol", "tones", "bass"),
    [
        ("Am", "A C E", "A"),
        ("F#m7", "F# A C# E", "F#"),
        ("Bbmaj7", "Bb D F A", "Bb"),
        ("Dsus2", "D E A", "D"),
        ("E7/G#", "E G# B D", "G#"),
        ("C/D", "C E G", "D"),
        ("B♭7", "Bb D F Ab", "Bb"),
        ("Cbdim7", "Cb Ebb Gbb Bbbb", "Cb"),
        ("B#aug", "B# D## F###", "B#"),
        ("C6/9", "C E G A D", "C"),
        ("C6/9/E", "C E G A D", "E"),
        ("A m (add9)", "A C E B", "A"),
    ],
)
def test_tones_stand_in_chord_order(symbol: str, tones: str, bass: str) -> None:
    chord = parse_chord(symbol)
    assert " ".join(map(str, chord.tones)) == tones
    assert str(chord.bass) == bass


def test_a_slash_bass_belongs_to_the_chord() -> None:
    assert parse_chord("C/D").pcs == {0, 2, 4, 7}
    assert parse_chord("C/C").slash is False
    assert parse_chord("C/C").symbol == "C"


def test_the_fifth_is_named_where_there_is_one() -> None:
    assert parse_chord("Bm9").fifth == 6
    assert parse_chord("Bm7b5").fifth == 5
    assert parse_chord("Caug").fifth == 8


@pytest.mark.parametrize(
    ("symbol", "hint"),
    [
        ("am7", '"Am7"'),
        ("H7", "root A to G"),
        ("", "root A to G"),
        ("Amn7", "Am7"),
        ("Cxyzzy", "known after the root: major, m, dim"),
        ("C/H", "after the slash"),
        ("C/", "after the slash"),
        ("C/e", '"E"'),
        ("C/Ebb", "one # or b"),
        ("C##", "root with one # or b"),
        ("Dbbm7", "root with one # or b"),
        ("C(add9", "add9"),
    ],
)
def test_a_symbol_that_cannot_be_read_says_what_would_be_right(symbol: str, hint: str) -> None:
    with pytest.raises(ValueError, match=hint.replace("(", r"\(")):
        parse_chord(symbol)
