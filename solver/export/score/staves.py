"""What stands at the head of a part: key, metre, clefs, strings; tempo; words on how it is played."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from solver.brief.plan import PartPlan, Plan
from solver.export.score.spelling import spell_open_string
from solver.export.score.xml import add
from solver.music.instruments import STANDARD, Instrument
from solver.music.pitch import note_name

MODES = {"harmonic minor": "minor", "melodic minor": "minor"}  # MusicXML has one minor
HIGHEST_OF_BASS = 52  # MIDI: an instrument whose highest open string lies below is written in the bass clef


def add_attributes(measure: Element, plan: Plan, part: PartPlan) -> None:
    """Divisions (a slot each), key, metre, two staves, clefs, strings, and that it sounds an octave lower."""
    attributes = add(measure, "attributes")
    metre, instrument = plan.metre, part.instrument
    add(attributes, "divisions", metre.slots_per_beat * metre.denominator // 4)
    key = add(attributes, "key")
    add(key, "fifths", plan.key.signature)
    add(key, "mode", MODES.get(plan.key.mode, plan.key.mode))
    for number in (1, 2):
        time = add(attributes, "time", number=number)
        if number == 2:
            time.set("print-object", "no")
        add(time, "beats", metre.numerator)
        add(time, "beat-type", metre.denominator)
    add(attributes, "staves", 2)
    low = max(instrument.tuning) < HIGHEST_OF_BASS
    for number, (sign, line) in enumerate((("F", 4) if low else ("G", 2), ("TAB", 5)), start=1):
        clef = add(attributes, "clef", number=number)
        add(clef, "sign", sign)
        add(clef, "line", line)
    _add_strings(attributes, instrument)
    transpose = add(attributes, "transpose")
    add(transpose, "diatonic", 0)
    add(transpose, "chromatic", 0)
    add(transpose, "octave-change", -1)


def _add_strings(attributes: Element, instrument: Instrument) -> None:
    """The tablature's lines: open strings from the lowest up as they sound without a capo, and the capo's fret."""
    details = add(attributes, "staff-details", number=2)
    add(details, "staff-lines", len(instrument.tuning))
    for line, pitch in enumerate(instrument.tuning, start=1):
        letter, alter, octave = spell_open_string(pitch - instrument.capo)
        string = add(details, "staff-tuning", line=line)
        add(string, "tuning-step", letter)
        if alter:
            add(string, "tuning-alter", alter)
        add(string, "tuning-octave", octave)
    if instrument.capo:
        add(details, "capo", instrument.capo)


def add_tempo(measure: Element, plan: Plan) -> None:
    """Quarters a minute, to read and to play by."""
    direction = add(measure, "direction", placement="above")
    metronome = add(add(direction, "direction-type"), "metronome")
    add(metronome, "beat-unit", "quarter")
    add(metronome, "per-minute", f"{plan.tempo:g}")
    add(direction, "staff", 1)
    add(direction, "sound", tempo=f"{plan.tempo:g}")


def add_words(measure: Element, words: str, top: bool) -> None:
    """A line above the notation, of the top part below it."""
    # Above the top part stand the chord symbols, into which verovio writes other words; below any, stems go through it.
    direction = add(measure, "direction", placement="below" if top else "above")
    add(add(direction, "direction-type"), "words", words)
    add(direction, "staff", 1)


def playing_words(part: PartPlan) -> str:
    """Instrument, tuning where it is not the usual one, capo, and whether strings ring on."""
    instrument = part.instrument
    open_strings = tuple(pitch - instrument.capo for pitch in instrument.tuning)
    named = next((name for name, strings in instrument.tunings if strings == open_strings), None)
    words = [instrument.name]
    if named is None:
        words.append("tuned " + " ".join(note_name(pitch) for pitch in open_strings))
    elif named != STANDARD:
        words.append(named)
    if instrument.capo:
        words.append(f"capo {instrument.capo}")
    if part.rings:
        words.append("let ring")
    return ", ".join(words)
