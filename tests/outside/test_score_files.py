"""Scores against outside judgement: the MusicXML 4.0 schema; music21 and verovio read back the same notes."""

from __future__ import annotations

import base64
import io
from collections import Counter
from functools import cache
from typing import Any

import pytest
from lxml import etree  # pyright: ignore[reportAttributeAccessIssue]

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.fingering import fingering
from solver.export.score import score_xml
from solver.music.fretboard import pitch_at
from solver.music.pitch import NATURAL
from tests.export.sample_arrangements import sample_arrangement
from tests.export.score.scores import PLANS, cut, plan_of, playable
from tests.outside.musicxml_schema import complaints

Sounding = Counter[tuple[str, float, int, float]]  # part, onset and length in quarters, MIDI pitch

QUICK = tuple(name for name in PLANS if name != "night-ferry")  # music21 takes seconds to read that one


@cache
def sample(name: str) -> tuple[Plan, Arrangement, bytes]:
    plan = plan_of(name)
    arrangement = playable(plan, sample_arrangement(plan))
    return plan, arrangement, score_xml(plan, arrangement)


def expected(plan: Plan, arrangement: Arrangement) -> Sounding:
    """The arrangement's notes; in a part whose strings ring on, as long as up to its next stroke."""
    quarter = plan.metre.grid / float(plan.metre.quarters_per_bar)
    return Counter(
        (note.part, round(note.onset / quarter, 6), note.pitch, round((end - note.onset) / quarter, 6))
        for note, end in cut(plan, arrangement)
    )


def test_the_schema_refuses_what_is_wrong() -> None:
    document = etree.fromstring(sample("one-rope")[2])
    first = document.find(".//note")
    assert first is not None
    first.append(etree.SubElement(first, "duration"))
    assert complaints(etree.tostring(document))


@pytest.mark.parametrize("name", PLANS)
def test_every_score_is_valid_musicxml_4(name: str) -> None:
    assert complaints(sample(name)[2]) == []


@pytest.mark.parametrize("name", QUICK)
def test_music21_reads_the_same_notes_on_both_staves_with_key_metre_tempo_and_chords(name: str) -> None:
    from music21 import converter, harmony, key, meter, tempo

    plan, arrangement, document = sample(name)
    score: Any = converter.parse(document.decode(), format="musicxml")
    notes = score.flatten()
    assert score.metadata.title == plan.title
    assert notes.getElementsByClass(key.KeySignature).first().sharps == plan.key.signature
    assert notes.getElementsByClass(meter.TimeSignature).first().ratioString == plan.metre.name
    assert notes.getElementsByClass(tempo.MetronomeMark).first().number == plan.tempo
    quarter = plan.metre.grid / float(plan.metre.quarters_per_bar)
    symbols = notes.getElementsByClass(harmony.ChordSymbol)
    chords = [(symbol.offset, {pitch.pitchClass for pitch in symbol.pitches}) for symbol in symbols]
    assert chords == [(span.start / quarter, set(span.chord.pcs)) for span in plan.spans]

    score.toSoundingPitch(inPlace=True)  # a copy would take as long as all the rest
    found = [_joined(str(staff.partName), _single_notes(staff)) for staff in score.parts]
    assert sum(found[0::2], Counter()) == expected(plan, arrangement)
    assert sum(found[1::2], Counter()) == expected(plan, arrangement)


def _single_notes(staff: Any) -> list[Any]:
    """A staff's notes with their offset and tie, those of chords one by one."""
    elements = [element for element in staff.flatten().notes if "ChordSymbol" not in element.classes]
    return [
        (float(element.offset), note.pitch.midi, float(element.quarterLength), note.tie.type if note.tie else "")
        for element in elements
        for note in (element.notes if element.isChord else [element])
    ]


def _joined(part: str, notes: list[Any]) -> Sounding:
    """Notes with those tied to them as one."""
    open_: dict[int, tuple[float, float]] = {}
    found: Sounding = Counter()
    for offset, pitch, length, tie in notes:
        start, so_far = open_.pop(pitch) if tie in ("continue", "stop") else (offset, 0.0)
        assert start + so_far == pytest.approx(offset)
        if tie in ("start", "continue"):
            open_[pitch] = (start, so_far + length)
        else:
            found[part, round(start, 6), pitch, round(so_far + length, 6)] += 1
    assert not open_
    return found


@pytest.mark.parametrize("name", QUICK)
def test_verovio_plays_the_same_notes_from_the_notation(name: str) -> None:
    import verovio
    from mido import MidiFile

    plan, arrangement, document = sample(name)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(document.decode())
    played = MidiFile(file=io.BytesIO(base64.b64decode(toolkit.renderToMIDI())))
    found: Sounding = Counter()
    for part, track in zip(plan.by_rank, played.tracks[1::2], strict=True):
        found += _played(plan, part.name, track, played.ticks_per_beat)
    assert found == expected(plan, arrangement)


def _played(plan: Plan, part: str, track: Any, per_quarter: int) -> Sounding:
    """The notes of a track. Verovio rounds to ticks and ends a note one early, so times are rounded to slots."""
    slot = per_quarter * float(plan.metre.quarters_per_bar) / plan.metre.grid
    now, begun = 0, {}
    found: Sounding = Counter()
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            begun[message.note] = now
        elif message.type in ("note_on", "note_off"):
            start = begun.pop(message.note)
            at, length = (slot * round(ticks / slot) for ticks in (start, now - start))
            found[part, round(at / per_quarter, 6), message.note, round(length / per_quarter, 6)] += 1
    return found


@pytest.mark.parametrize("name", QUICK)
def test_verovio_reads_the_same_strings_and_frets(name: str) -> None:
    import verovio

    plan, arrangement, document = sample(name)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(document.decode())
    mei = etree.fromstring(toolkit.getMEI().encode())
    spaces = {"m": "http://www.music-encoding.org/ns/mei"}
    wanted = Counter(
        place for part in plan.parts for place in fingering(plan, part, arrangement.part(part.name)).places.values()
    )
    tied: Any = mei.xpath("//m:tie/@endid", namespaces=spaces)
    ends = {str(name_).lstrip("#") for name_ in tied}
    notes: Any = mei.xpath("//m:note[@tab.fret]", namespaces=spaces)
    found = Counter(
        (int(note.get("tab.course")), int(note.get("tab.fret")))
        for note in notes
        if note.get("{http://www.w3.org/XML/1998/namespace}id") not in ends
    )
    assert found == wanted


# MusicXML 4.0: string 1 is the highest-pitched; fret 0 is the open string; octave-change -1 sounds an octave lower.
@pytest.mark.parametrize("name", PLANS)
def test_string_and_fret_are_on_the_tablature_alone_and_are_the_pitch(name: str) -> None:
    plan, _, document = sample(name)
    root = etree.fromstring(document)
    for number, part in enumerate(plan.by_rank, start=1):
        notes = root.xpath(f"//part[@id='P{number}']//note[pitch]")
        for note in notes:  # type: ignore[union-attr]
            technical = note.find("notations/technical")
            if note.findtext("staff") == "1":
                assert technical is None
                continue
            place = int(technical.findtext("string")), int(technical.findtext("fret"))
            step, octave = note.findtext("pitch/step"), int(note.findtext("pitch/octave"))
            written = 12 * (octave + 1) + NATURAL[step] + int(note.findtext("pitch/alter") or 0)
            assert pitch_at(place, part.instrument) == written - 12
