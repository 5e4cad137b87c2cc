"""Files to damage, and what may come of studying a damaged one: a study, or one line that says what is wrong."""

from __future__ import annotations

import io
import random
from contextlib import suppress
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element, SubElement, tostring

from solver.study.brief_text import NoBrief, brief_text
from solver.study.errors import StudyError
from solver.study.facts import facts_of
from solver.study.sentences import paragraphs
from solver.study.study import study
from tests.study.writing import ReferenceLoop, midi_of, read_loop

STEPS = ("C", "C", "D", "D", "E", "F", "F", "G", "G", "A", "A", "B")
ALTERS = (0, 1, 0, 1, 0, 0, 1, 0, 1, 0, 1, 0)
DIVISIONS = 12
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


@cache
def midi_bytes(name: str) -> bytes:
    """A reference loop as MIDI."""
    buffer = io.BytesIO()
    midi_of(read_loop(name)).save(file=buffer)
    return buffer.getvalue()


@cache
def xml_bytes(name: str, bars: int | None = None) -> bytes:
    """A reference loop as MusicXML, written without music21; the first bars of it where a number is given."""
    loop = read_loop(name)
    root = Element("score-partwise", {"version": "4.0"})
    listed = SubElement(root, "part-list")
    for number, part in enumerate(loop.parts, start=1):
        entry = SubElement(listed, "score-part", {"id": f"P{number}"})
        SubElement(entry, "part-name").text = part
    for number, part in enumerate(loop.parts, start=1):
        _write_part(SubElement(root, "part", {"id": f"P{number}"}), loop, part, bars or loop.brief["bars"])
    text = f'<?xml version="1.0" encoding="UTF-8"?>\n{DOCTYPE}\n{tostring(root, encoding="unicode")}\n'
    return text.encode()


def outcome(data: bytes, path: Path) -> str:
    """What comes of studying these bytes: "studied", or the line that says what is wrong. Anything else is raised."""
    path.write_bytes(data)
    try:
        found = study(path)
    except StudyError as error:
        line = str(error)
        assert line.startswith(str(path)), line
        assert "\n" not in line
        assert line.isprintable()
        assert "; " in line
        return line
    facts_of(found)
    assert paragraphs(found)
    with suppress(NoBrief):  # a metre that briefs do not know is said, not refused
        brief_text(found)
    return "studied"


def damaged(data: bytes, dice: random.Random) -> bytes:
    """The bytes with a few changed, cut out or doubled. Half of the time bytes stay of their kind (digits digits, data
    bytes of MIDI data bytes), so that the damage reaches what lies behind the readers' first checks."""
    out = bytearray(data)
    kind = dice.random()
    if kind < 0.5:
        for _ in range(dice.randint(1, 6)):
            _change_in_kind(out, dice)
    elif kind < 0.8:
        for _ in range(dice.randint(1, 8)):
            out[dice.randrange(len(out))] = dice.randrange(256)
    else:
        start = dice.randrange(len(out))
        end = min(len(out), start + dice.randint(1, 60))
        out[start:end] = b"" if kind < 0.9 else out[start:end] * 2
    return bytes(out)


def _change_in_kind(out: bytearray, dice: random.Random) -> None:
    digits = [at for at, byte in enumerate(out) if 48 <= byte <= 57] if out[:1] == b"<" else []
    if digits:
        at = dice.choice(digits)
        out[at : at + 1] = dice.choice((b"0", b"1", b"7", b"99", b"-1", b"3.5", b"", b"1000"))
        return
    at = dice.randrange(len(out))
    if out[at] < 128:
        out[at] = dice.randrange(128)


def _write_part(element: Element, loop: ReferenceLoop, part: str, bars: int) -> None:
    slot = DIVISIONS * 4 * loop.metre[0] // loop.metre[1] // loop.grid
    events: dict[int, list[tuple[int, int]]] = {}
    for onset, length, pitch in loop.parts[part]:
        events.setdefault(onset, []).append((length, pitch))
    for bar in range(bars):
        measure = SubElement(element, "measure", {"number": str(bar + 1)})
        if bar == 0:
            _write_attributes(measure, loop)
        at = bar * loop.grid
        while at < (bar + 1) * loop.grid:
            if at in events:
                length = events[at][0][0]
                for index, (_, pitch) in enumerate(events[at]):
                    _write_note(measure, pitch, length * slot, chord=index > 0)
                at += length
            else:
                rest = SubElement(measure, "note")
                SubElement(rest, "rest")
                SubElement(rest, "duration").text = str(slot)
                at += 1


def _write_attributes(measure: Element, loop: ReferenceLoop) -> None:
    attributes = SubElement(measure, "attributes")
    SubElement(attributes, "divisions").text = str(DIVISIONS)
    time = SubElement(attributes, "time")
    SubElement(time, "beats").text, SubElement(time, "beat-type").text = map(str, loop.metre)
    direction = SubElement(measure, "direction")
    SubElement(SubElement(direction, "direction-type"), "words").text = "invented"
    SubElement(direction, "sound", {"tempo": str(loop.brief["tempo"])})


def _write_note(measure: Element, pitch: int, duration: int, chord: bool) -> None:
    note = SubElement(measure, "note")
    if chord:
        SubElement(note, "chord")
    written = SubElement(note, "pitch")
    SubElement(written, "step").text = STEPS[pitch % 12]
    if ALTERS[pitch % 12]:
        SubElement(written, "alter").text = "1"
    SubElement(written, "octave").text = str(pitch // 12 - 1)
    SubElement(note, "duration").text = str(duration)
