"""What is estimated of a sound, in sentences and as plain data."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from solver.study.audio.study import AudioStudy
from solver.study.brief_text import NoBrief, estimated_brief_text
from solver.study.key import CLEAR
from solver.study.part_sentences import listed
from solver.study.sentences import Paragraph
from solver.study.spelling import pitch_name

SECONDS_DIGITS = SCORE_DIGITS = 2


def audio_paragraphs(heard: AudioStudy) -> tuple[Paragraph, ...]:
    """Everything that is estimated, in words."""
    study, notes = heard.study, heard.notes
    pitches = [note.pitch for note in notes]
    slower, faster = other_tempos(heard)
    pulses = "triplets" if heard.bars.pulses == 3 else "sixteenths"
    counted = "as asked" if heard.metre_given else "which is assumed; --meter counts otherwise"
    place = f"bar 1 begins at {heard.bars.first:.{SECONDS_DIGITS}f} s"
    if heard.bars.is_loop:
        place = "the file is a loop"
    elif heard.bars.first < 0:
        place = f"the sound begins in the middle of bar 1, {-heard.bars.first:.{SECONDS_DIGITS}f} s after its start"
    low, high = pitch_name(min(pitches), study.key), pitch_name(max(pitches), study.key)
    return (
        Paragraph(
            "Estimates from the sound, all of them: nothing here was read from notes",
            (
                f"Tempo: about {study.tempo:g} quarter notes a minute, on whose {pulses} the notes begin with a "
                f"confidence of {heard.bars.confidence:.2f} of 1; it may be felt as {slower:g} or {faster:g}.",
                f"Bars: {study.bars} of {study.loop.metre.name}, {counted}; {place}.",
                _key(heard),
                f"Chords, bar by bar: {_chords(study.chords)}.",
                _chroma(heard),
                f"Notes: {len(notes)} between {low} and {high}, with a mean confidence of {heard.confidence:.2f} of 1.",
                *heard.remarks,
            ),
        ),
    )


def audio_facts(heard: AudioStudy) -> dict[str, Any]:
    """The same as plain data for other programs (``--json``). ``parts`` is empty: sound tells none apart."""
    study = heard.study
    try:
        brief = estimated_brief_text(study)
    except NoBrief:
        brief = None
    return {
        "file": str(study.path),
        "estimate": True,
        "seconds": round(heard.seconds, SECONDS_DIGITS),
        "key": study.key.name,
        "key_certain": study.keys.certain,
        "key_candidates": [key.name for key in study.keys.candidates],
        "key_lead": _lead(heard),
        "tempo": study.tempo,
        "tempo_candidates": [study.tempo, *other_tempos(heard)],
        "tempo_confidence": heard.bars.confidence,
        "meter": study.loop.metre.name,
        "meter_given": heard.metre_given,
        "bars": study.bars,
        "first_bar": round(heard.bars.first, SECONDS_DIGITS),
        "chords": list(study.chords),
        "chord_confidence": [chord.confidence for chord in heard.bar_chords],
        "chords_by_chroma": [chord.by_chroma for chord in heard.bar_chords],
        "parts": {},
        "notes": [
            {"start": note.start, "end": note.end, "pitch": note.pitch, "confidence": note.confidence}
            for note in heard.notes
        ],
        "confidence": round(heard.confidence, SECONDS_DIGITS),
        "remarks": list(heard.remarks),
        "brief": brief,
    }


def other_tempos(heard: AudioStudy) -> tuple[float, float]:
    """Half and twice the tempo: which of them is felt, no figure decides."""
    return heard.study.tempo / 2, heard.study.tempo * 2


def _key(heard: AudioStudy) -> str:
    names = [key.name for key in heard.study.keys.candidates]
    lead = _lead(heard)
    if lead is None:
        return f"Key: {names[0]}; no other comes near."
    return f"Key: {names[0]} first, then {listed(names[1:])}; it leads by {lead:.2f}, and {CLEAR:g} would be clear."


def _lead(heard: AudioStudy) -> float | None:
    """By how much the first key scores more than the next; None where it is alone."""
    scores = heard.study.keys.scores
    return round(scores[0] - scores[1], SCORE_DIGITS) if len(scores) > 1 else None


def _chroma(heard: AudioStudy) -> str:
    """How sure the chords are, and in how many bars the chroma alone would have another."""
    chords = heard.bar_chords
    mean = sum(chord.confidence for chord in chords) / len(chords)
    others = sum(not chord.agrees for chord in chords)
    return (
        f"The chords' templates fit the chroma of their bars with a mean confidence of {mean:.2f} of 1; chroma alone "
        f"would have another triad in {others} of {len(chords)} bars."
    )


def _chords(chords: tuple[str, ...]) -> str:
    """Chords one after the other, those that last with how many bars."""
    runs = [(symbol, len(list(run))) for symbol, run in groupby(chords)]
    return ", ".join(symbol if bars == 1 else f"{symbol} ({bars} bars)" for symbol, bars in runs)
