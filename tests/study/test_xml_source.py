"""MusicXML: read like MIDI, nothing followed that a file could link to, nothing that never ends."""

from __future__ import annotations

import io
import zipfile
from fractions import Fraction
from pathlib import Path

import pytest

from solver.study import xml_guard
from solver.study.errors import Unreadable
from solver.study.reference import Tone
from solver.study.study import Study, study
from solver.study.xml_guard import musicxml_text
from solver.study.xml_source import read_xml_reference
from tests.study.damage import xml_bytes
from tests.study.studies import loop_study
from tests.study.writing import read_loop

NOTE = "<note><pitch><step>{}</step><octave>{}</octave></pitch><duration>{}</duration></note>"


def score(*measures: str, head: str = "", attributes: str = "") -> bytes:
    """A one-part score in 2/4, divisions 1."""
    time = f"<attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time>{attributes}"
    first = f'<measure number="1">{time}</attributes>{measures[0]}</measure>'
    more = "".join(f'<measure number="{n}">{text}</measure>' for n, text in enumerate(measures[1:], start=2))
    parts = '<part-list><score-part id="P1"><part-name>Bell</part-name></score-part></part-list>'
    whole = f'<score-partwise>{parts}<part id="P1">{first}{more}</part></score-partwise>'
    return f"<?xml version='1.0'?>{head}{whole}".encode()


def quarter(step: str, octave: int = 4, duration: int = 1) -> str:
    return NOTE.format(step, octave, duration)


def studied(tmp_path: Path, data: bytes) -> Study:
    path = tmp_path / "score.musicxml"
    path.write_bytes(data)
    return study(path)


@pytest.mark.parametrize("name", ["mist-lanterns", "gull-watch", "three-to-the-oar"])
def test_a_loop_reads_as_from_midi(tmp_path: Path, name: str) -> None:
    found, midi = studied(tmp_path, xml_bytes(name)), loop_study(name)
    assert [(part.name, part.role, part.part.notes) for part in found.parts] == [
        (part.name, part.role, part.part.notes) for part in midi.parts
    ]
    assert (found.chords, found.tempo, found.keys) == (midi.chords, midi.tempo, midi.keys)
    assert list(found.chords) == read_loop(name).chords


def test_packed_scores(tmp_path: Path) -> None:
    container = b'<container><rootfiles><rootfile full-path="inner/a.xml"/></rootfiles></container>'
    for names in ({"META-INF/container.xml": container, "inner/a.xml": b""}, {"b.musicxml": b""}):
        buffer = io.BytesIO()
        with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, data in names.items():
                archive.writestr(name, data or xml_bytes("mist-lanterns", 2))
        assert musicxml_text(buffer.getvalue()) == musicxml_text(xml_bytes("mist-lanterns", 2))


def test_repeats_are_played_out() -> None:
    repeat = '<barline location="right"><repeat direction="backward"/></barline>'
    reference = read_xml_reference(score(quarter("C") + quarter("D"), quarter("E", 4, 2) + repeat))
    assert [tone.pitch for tone in reference.voices[0].tones] == [60, 62, 64, 60, 62, 64]
    assert reference.end == 8


def test_an_upbeat_lies_before_the_first_bar_line() -> None:
    reference = read_xml_reference(score(quarter("G"), quarter("C", 5) + quarter("D", 5), quarter("C", 5, 2)))
    assert reference.voices[0].tones[0] == Tone(Fraction(-1), Fraction(0), 67)


def test_ties_are_joined_and_grace_notes_left_out() -> None:
    tied = quarter("C").replace("</note>", '<tie type="start"/></note>')
    end = quarter("C").replace("</note>", '<tie type="stop"/></note>')
    grace = "<note><grace/><pitch><step>B</step><octave>3</octave></pitch></note>"
    reference = read_xml_reference(score(quarter("D") + tied, end + grace + quarter("E")))
    assert [(tone.pitch, tone.end - tone.start) for tone in reference.voices[0].tones] == [(62, 1), (60, 2), (64, 1)]
    assert reference.remarks == ("1 grace notes are left out.",)


def test_written_pitch_becomes_sounding_pitch() -> None:
    down = "<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
    reference = read_xml_reference(score(quarter("C", 5) + quarter("D", 5), attributes=down))
    assert [tone.pitch for tone in reference.voices[0].tones] == [60, 62]


def refused(data: bytes) -> Unreadable:
    with pytest.raises(Unreadable) as caught:
        musicxml_text(data)
    return caught.value


def test_external_entities_are_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("invented secret", encoding="utf-8")
    head = f'<!DOCTYPE score-partwise [<!ENTITY lure SYSTEM "{secret.as_uri()}">]>'
    problem = refused(score(quarter("C") + "<words>&lure;</words>", head=head))
    assert problem.wrong == 'the file declares the entity "lure"'
    assert "invented secret" not in str(problem)
    parameter = f'<!DOCTYPE score-partwise [<!ENTITY % lure SYSTEM "{secret.as_uri()}"> %lure;]>'
    assert refused(score(quarter("C"), head=parameter)).wrong == 'the file declares the entity "lure"'


def test_entities_that_grow_are_not_expanded() -> None:
    grown = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    head = f'<!DOCTYPE score-partwise [<!ENTITY e0 "ha">{grown}]>'
    assert refused(score("<words>&e11;</words>", head=head)).wrong == 'the file declares the entity "e0"'


def test_the_usual_document_type_is_read_and_not_fetched() -> None:
    head = '<!DOCTYPE score-partwise PUBLIC "-//invented//DTD" "http://127.0.0.1:1/nothing.dtd">'
    assert len(read_xml_reference(score(quarter("C") + quarter("D"), head=head)).voices) == 1


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("<note><duration>99999999</duration></note>", '"99999999" is no duration that music has'),
        ("<attributes><time><beats>999</beats></time></attributes>", '"999" is no beats that music has'),
        ("<attributes><time><beats>0</beats></time></attributes>", '"0" is no beats that music has'),
        ("<attributes><divisions>-4</divisions></attributes>", '"-4" is no divisions that music has'),
        (
            "<note><duration>99999999<x>1</x></duration></note>",
            "duration holds another element and not a number alone",
        ),
        ("<note><pitch><octave>nine</octave></pitch></note>", '"nine" is no octave that music has'),
        ('<barline><repeat times="99999"/></barline>', '"99999" is no times that music has'),
        (f'<barline><ending number="{"1,2," * 9}"/></barline>', "an ending is for too many passes"),
        ("<a>" * 80 + "</a>" * 80, "elements lie more than 60 deep"),
    ],
)
def test_numbers_that_would_never_end(text: str, wrong: str) -> None:
    problem = refused(score(text))
    assert problem.wrong == wrong
    assert problem.line == 1
    assert problem.column is not None


@pytest.mark.parametrize(
    "style",
    [
        '<measure-repeat type="stop"/>',
        '<measure-repeat type="stop"></measure-repeat>',
        '<slash type="start"><slash-type>quarter</slash-type><slash-dot/></slash>',
    ],
)
def test_elements_that_may_be_empty_are_read(style: str) -> None:
    """MusicXML 4.0: ``positive-integer-or-empty`` of a measure-repeat, and ``empty`` of a slash-dot."""
    data = score(quarter("C") + quarter("D"), attributes=f"<measure-style>{style}</measure-style>")
    assert len(read_xml_reference(data).voices) == 1


def test_additive_metres_are_read() -> None:
    data = score(quarter("C")).replace(b"<beats>2<", b"<beats>2+3<")
    assert "2+3" in musicxml_text(data)


def test_bombs_are_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.xml", b"<a>" + b" " * 2_000_000)
    monkeypatch.setattr(xml_guard, "LARGEST_TEXT", 1_000_000)
    assert "larger than 1 MB once unpacked" in refused(buffer.getvalue()).wrong
    assert "larger than 1 MB" in refused(b"<a>" + b" " * 2_000_000).wrong


def test_too_many_notes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(xml_guard, "MOST_NOTES", 3)
    assert refused(score("<note/>" * 4)).wrong == "the file has more than 3 notes"


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_encodings(encoding: str) -> None:
    text = (
        score(quarter("C"))
        .decode()
        .replace("<?xml version='1.0'?>", f"<?xml version='1.0' encoding='{encoding[:6]}'?>")
    )
    if encoding == "utf-8-sig":
        text = text.replace("utf-8-", "utf-8").replace("'utf-8'", "'utf-8'")
    assert musicxml_text(text.encode(encoding)).startswith("<score-partwise>")


def test_a_packed_file_without_a_score() -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("readme.txt", b"nothing")
    assert refused(buffer.getvalue()).wrong == "the packed file holds no score"
