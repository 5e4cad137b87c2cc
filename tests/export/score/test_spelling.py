"""Letters and accidentals: what is printed reads back as what sounds."""

from __future__ import annotations

from xml.etree.ElementTree import fromstring

import pytest

from solver.export.score import score_xml
from solver.export.score.spelling import ACCIDENTALS, Accidentals, WrittenPitch, spell_open_string, written_pitch
from solver.music.pitch import NATURAL
from tests.export.sample_arrangements import sample_arrangement
from tests.export.score.scores import PLANS, plan_of

SHARPS, FLATS = "FCGDAEB", "BEADGCF"
ALTERS = {name: alter for alter, name in ACCIDENTALS.items()}


@pytest.mark.parametrize("name", PLANS)
def test_a_player_reads_every_pitch_from_key_bar_and_accidentals(name: str) -> None:
    """Read as a player does: an accidental holds on its line until the bar's end; none is printed in vain."""
    plan = plan_of(name)
    score = fromstring(score_xml(plan, sample_arrangement(plan)))
    fifths = plan.key.signature
    signature = {
        letter: (letter in SHARPS[: max(fifths, 0)]) - (letter in FLATS[: max(-fifths, 0)]) for letter in SHARPS
    }
    for part in score.findall("part"):
        for measure in part.findall("measure"):
            on_line: dict[tuple[str, str], int] = {}
            first = True
            for note in measure.findall("note"):
                if note.findtext("staff") != "1" or note.find("pitch") is None:
                    first = first and note.find("pitch") is not None
                    continue
                letter, octave = note.findtext("pitch/step", ""), note.findtext("pitch/octave", "")
                alter = int(note.findtext("pitch/alter") or 0)
                printed = note.findtext("accidental")
                believed = on_line.get((letter, octave), signature[letter])
                if printed is not None:
                    assert believed != alter, "an accidental in vain"
                    believed = on_line[letter, octave] = ALTERS[printed]
                held_over = first and any(tie.get("type") == "stop" for tie in note.findall("tie"))
                assert held_over or believed == alter
                first = held_over or (first and note.find("chord") is not None)


@pytest.mark.parametrize("pitch", range(28, 90))
def test_the_written_pitch_is_an_octave_above_the_sounding_one(pitch: int) -> None:
    plan = plan_of("harbour-waltz")
    for slot in (0, plan.metre.grid):
        written = written_pitch(plan, slot, pitch)
        assert 12 * (written.octave + 1) + NATURAL[written.letter] + written.alter == pitch + 12


def test_a_chord_tone_has_the_chord_s_letter() -> None:
    plan = plan_of("harbour-waltz")  # A minor: Am, E7, F, G/B
    assert written_pitch(plan, plan.metre.grid, 56) == WrittenPitch("G", 1, 4)
    flat = plan_of("night-ferry")  # F dorian: Fm9, Bbmaj9
    assert written_pitch(flat, 0, 56) == WrittenPitch("A", -1, 4)
    assert written_pitch(flat, 0, 61) == WrittenPitch("D", -1, 5)


def test_a_letter_at_the_octave_s_edge_keeps_its_own_octave() -> None:
    plan = plan_of("capo")  # Eb minor: Ebm, Cb
    assert written_pitch(plan, plan.metre.grid, 47) == WrittenPitch("C", -1, 4)


def test_accidentals_hold_on_their_own_line_until_the_bar_ends() -> None:
    staff = Accidentals(1)
    sharp, other, natural = WrittenPitch("F", 1, 5), WrittenPitch("F", 1, 4), WrittenPitch("F", 0, 5)
    assert staff.needed(sharp, tied=False) is None
    assert staff.needed(natural, tied=False) == "natural"
    assert staff.needed(natural, tied=False) is None
    assert staff.needed(other, tied=False) is None
    assert staff.needed(sharp, tied=False) == "sharp"
    staff.new_bar()
    assert staff.needed(natural, tied=True) is None
    assert staff.needed(natural, tied=False) == "natural"


def test_open_strings_have_their_usual_names() -> None:
    assert [spell_open_string(pitch) for pitch in (40, 54, 38, 39, 35)] == [
        ("E", 0, 2),
        ("F", 1, 3),
        ("D", 0, 2),
        ("E", -1, 2),
        ("B", 0, 1),
    ]
