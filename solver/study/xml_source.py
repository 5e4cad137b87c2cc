"""A MusicXML score as a reference: a voice for each part, repeats played out, grace notes and chord symbols left out.

music21 reads the text that ``xml_guard`` has let through.
"""

from __future__ import annotations

import warnings
from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from solver.study.errors import Unreadable
from solver.study.reference import Reference, Tone, Voice
from solver.study.xml_guard import musicxml_text

if TYPE_CHECKING:
    from music21.stream import Score

MOST_TONES = 40_000  # once repeats are played out


def read_xml_reference(data: bytes) -> Reference:
    """The reference in the bytes of a MusicXML score, plain or packed. Raises Unreadable."""
    text = musicxml_text(data)
    try:
        from music21.musicxml.xmlToM21 import MusicXMLImporter
    except ImportError as error:
        raise Unreadable("MusicXML is read with music21, which is not installed", "pip install music21") from error
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # music21 warns of layout and of what it mends
        importer: Any = MusicXMLImporter()
        importer.xmlText = text
        try:
            importer.parseXMLText()
            return reference_of(importer.stream)
        except Unreadable:
            raise
        except Exception as error:  # music21 raises many kinds on scores that make no sense
            why = f"{type(error).__name__}: {error}".splitlines()[0][:80]
            wrong = f"the score cannot be read ({why})"
            raise Unreadable(wrong, "open it in a notation program and save it again") from error


def reference_of(score: Score) -> Reference:
    """The reference in a score that music21 has read. Raises Unreadable where it holds no notes."""
    remarks: Counter[str] = Counter()
    parts = list(score.parts) or [score]
    pickup = _pickup(parts[0])
    names = [str(getattr(part, "partName", "") or "").strip() for part in parts]
    voices = tuple(
        Voice(name, _tones(_played(part, remarks), pickup, remarks), _program(part))
        for name, part in zip(names, parts, strict=True)
    )
    voices = tuple(voice for voice in voices if voice.tones)
    end = max((tone.end for voice in voices for tone in voice.tones), default=Fraction(0))
    metres = list(score.recurse().getElementsByClass("TimeSignature"))
    if len({sign.ratioString for sign in metres}) > 1:
        remarks[f"The metre changes; all bars are counted in {metres[0].ratioString}."] = 1
    return Reference(
        voices=voices,
        tempo=_tempo(score),
        metre=(metres[0].numerator, metres[0].denominator) if metres else None,
        signature=_signature(score),
        end=end,
        remarks=tuple(text.format(count=count) for text, count in remarks.items()),
    )


def _played(part: Any, remarks: Counter[str]) -> Any:
    """A copy of the part with its repeats played out and at the pitch at which it sounds."""
    from music21.repeat import Expander, ExpanderException

    sounding = part.toSoundingPitch()
    if not sounding.hasMeasures():
        return sounding
    try:
        if Expander(sounding).isExpandable() is not None:  # None: there is nothing to repeat, and copying is dear
            sounding = sounding.expandRepeats()
    except ExpanderException:
        remarks["The repeat marks make no sense together; the bars are read once, in order."] = 1
    return sounding


def _tones(part: Any, pickup: Fraction, remarks: Counter[str]) -> tuple[Tone, ...]:
    """The sounding notes of a part that is read no more: its ties are joined in place."""
    tones: set[Tone] = set()
    part.stripTies(inPlace=True)
    notes = part.recurse().notes
    for element in notes:
        if "Harmony" in element.classes or "Unpitched" in element.classes or "PercussionChord" in element.classes:
            continue
        if element.duration.isGrace or not element.quarterLength:
            remarks["{count} grace notes are left out."] += 1
            continue
        start = _exact(notes.currentHierarchyOffset()) - pickup
        for pitch in element.pitches:
            tones.add(Tone(start, start + _exact(element.quarterLength), round(pitch.ps)))
        if len(tones) > MOST_TONES:
            raise Unreadable(f"a part plays more than {MOST_TONES} notes", "give a loop or a song, not a work")
    return tuple(sorted(tone for tone in tones if 0 <= tone.pitch <= 127))


def _pickup(part: Any) -> Fraction:
    """Quarters before the first bar line: the first bar where it is shorter than its metre says."""
    bars = list(part.getElementsByClass("Measure"))
    if len(bars) < 2:
        return Fraction(0)
    full, here = _exact(bars[0].barDuration.quarterLength), _exact(bars[0].duration.quarterLength)
    return here if 0 < here < full else Fraction(0)


def _tempo(score: Any) -> float | None:
    for mark in score.recurse().getElementsByClass("MetronomeMark"):
        tempo = mark.getQuarterBPM()
        if tempo:
            return round(float(tempo), 2)
    return None


def _signature(score: Any) -> str | None:
    for sign in score.recurse().getElementsByClass("KeySignature"):
        if "Key" in sign.classes:
            return f"{sign.tonic.name.replace('-', 'b')} {sign.mode}"
        accidentals = sign.sharps or 0
        return f"{abs(accidentals)} {'flats' if accidentals < 0 else 'sharps'}"
    return None


def _program(part: Any) -> int | None:
    instrument = part.getInstrument(returnDefault=False)
    program = getattr(instrument, "midiProgram", None)
    return program if isinstance(program, int) and 0 <= program <= 127 else None


def _exact(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(1920)
