"""Ornaments on paper: signs, grace notes, their places on the tablature."""

from __future__ import annotations

from typing import Any

import pytest
from lxml import etree  # pyright: ignore[reportAttributeAccessIssue]

from solver.export.engraving import engrave
from solver.export.score import score_xml
from solver.heard import Heard
from solver.music.fretboard import pitch_at
from solver.ornaments import step_slots
from tests.outside.musicxml_schema import complaints
from tests.rules.small import heard, plan_of

PLAN = plan_of(
    'key = "A harmonic minor"; bars = 2; chords = ["Am"]; ornaments = "many"', lead='repeat_every = 2; range = "A3..E5"'
)
LINE = "E4:trill C4 A4:mordent - | A4 E4 E4:run A4"


@pytest.fixture(scope="module")
def played() -> Heard:
    return heard(PLAN, lead=LINE)


@pytest.fixture(scope="module")
def document(played: Heard) -> bytes:
    return score_xml(PLAN, played.arrangement)


def test_the_score_is_valid_and_engraves(document: bytes) -> None:
    assert complaints(document) == []
    assert 'class="trill' in engrave(document)[0]


@pytest.mark.parametrize("staff", ["1", "2"])
def test_each_staff_has_a_sign_for_each_and_grace_notes_for_the_run(document: bytes, staff: str) -> None:
    notes: Any = etree.fromstring(document).xpath(f"//note[staff='{staff}']")
    signs = [[child.tag for child in note.findall("notations/ornaments/*")] for note in notes]
    assert [found for found in signs if found] == [["trill-mark"], ["mordent", "accidental-mark"]]
    grace = [note for note in notes if note.find("grace") is not None]
    assert [note.findtext("pitch/step") for note in grace] == ["F", "G"]
    assert notes[notes.index(grace[-1]) + 1].findtext("pitch/step") == "A"
    # Percents of the long note before, a quarter of four slots (MusicXML 4.0, grace).
    assert {note.find("grace").get("steal-time-previous") for note in grace} == {f"{25 * step_slots(PLAN):.0f}"}


def test_a_neighbour_outside_the_signature_is_marked() -> None:
    plan = plan_of('key = "A harmonic minor"; chords = ["Am"]; ornaments = "many"', lead='range = "A3..E5"')
    document = etree.fromstring(score_xml(plan, heard(plan, lead="A4:mordent - . .").arrangement))
    marks: Any = document.xpath("//note[staff='1']//accidental-mark/text()")
    assert marks == ["sharp"]  # A touches G sharp, and A minor's signature has G


def test_places_of_grace_notes_are_their_pitches(document: bytes) -> None:
    notes: Any = etree.fromstring(document).xpath("//note[grace][staff='2']")
    places = [tuple(int(note.findtext(f"notations/technical/{tag}")) for tag in ("string", "fret")) for note in notes]
    assert [pitch_at(place, PLAN.parts[0].instrument) for place in places] == [65, 68]  # type: ignore[arg-type]
    assert all(0 <= fret <= 9 for _, fret in places)


def test_a_run_over_the_seam_stands_at_the_end() -> None:
    plan = plan_of('ornaments = "many"', lead='range = "A3..E5"')
    document = score_xml(plan, heard(plan, lead="G4 - - C4:run").arrangement)
    assert complaints(document) == []
    notes: Any = etree.fromstring(document).xpath("//note[staff='1']")
    assert [note.find("grace") is not None for note in notes] == [False, False, True, True, True]


def test_music21_reads_the_same_notes_and_ornaments(played: Heard, document: bytes) -> None:
    from music21 import converter

    score: Any = converter.parse(document.decode(), format="musicxml")
    staff = score.toSoundingPitch().parts[0].flatten().notes
    found = [
        (float(note.offset) * 4, note.pitch.midi)
        for note in staff
        if "ChordSymbol" not in note.classes
        and not note.duration.isGrace
        and not (note.tie and note.tie.type != "start")
    ]
    assert found == [(note.onset, note.pitch) for note in played.arrangement.notes]
    kinds = [type(sign).__name__ for note in staff for sign in note.expressions]
    assert kinds == ["Trill", "Mordent"]
    assert [note.pitch.midi for note in staff if note.duration.isGrace] == [65, 68]
