"""Loops cut from tunes of old printed collections in music21's corpus, read in place: the first eight bars.

Where the eighth bar is shorter by the upbeat, as before a repeat sign, the upbeat ends the loop: there it is played.
Left out are tunes in metres that briefs do not have, and those with fewer bars or, within the eight, with notes off the
grid of sixteenths, several at once, grace notes, or a note outside the scale that their key line gives.

Weights are fitted on one collection. The others are for the report alone, and of them only the loops that end with
their upbeat: samples that were looked at before this line was drawn held none of those. Nothing is to be chosen by
what is reported of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Any

from solver.arrangement import Note
from solver.music.metre import Metre, parse_metre
from solver.music.scales import Key, parse_key
from solver.study.grid import SAME_BARS
from tests.outside.corpus_pieces import stated_key, tune_score, tune_texts

COLLECTIONS = {
    "ryansMammoth": "Ryan's Mammoth Collection",
    "oneills1850": "O'Neill's 1850 tunes",
    "airdsAirs": "Aird's Airs",
}
FITTED_ON = "airdsAirs"
REPORTED = tuple(folder for folder in COLLECTIONS if folder != FITTED_ON)
BARS = 8
FEWEST_NOTES = 16
LEAD = "lead"
# The usual spelling of each tonic; a key with more than seven accidentals is no key of a printed tune.
TONICS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


@dataclass(frozen=True)
class Tune:
    """A loop of one line. ``notes`` count in slots of the metre's grid, by onset."""

    name: str
    key: Key
    metre: Metre
    notes: tuple[Note, ...]

    @property
    def pitches(self) -> tuple[int, ...]:
        """MIDI numbers by onset."""
        return tuple(note.pitch for note in self.notes)

    @property
    def onsets(self) -> tuple[int, ...]:
        """Slots."""
        return tuple(note.onset for note in self.notes)

    @property
    def slots(self) -> int:
        """Slots in the loop."""
        return BARS * self.metre.grid

    @property
    def ladder(self) -> tuple[int, ...]:
        """The pitches of the scale within the tune's range, from low to high."""
        low, high = min(self.pitches), max(self.pitches)
        return tuple(pitch for pitch in range(low, high + 1) if pitch % 12 in self.key.pcs)


def line(onsets: tuple[int, ...], pitches: tuple[int, ...], slots: int) -> tuple[Note, ...]:
    """Notes of which each lasts until the next starts."""
    ends = (*onsets[1:], slots)
    return tuple(Note(LEAD, a, b - a, pitch) for a, b, pitch in zip(onsets, ends, pitches, strict=True))


def drawn_loops(folder: str, number: int, seed: int = 1) -> list[Tune]:
    """So many loops of a collection, in an order drawn by a seed; of a reported one only those with upbeat."""
    texts = tune_texts(folder)
    Random(seed).shuffle(texts)
    found: list[Tune] = []
    for text in texts:
        tune = loop_in(text, upbeat=folder in REPORTED)
        found += [] if tune is None else [tune]
        if len(found) == number:
            break
    return found


def loop_in(text: str, *, upbeat: bool = False) -> Tune | None:
    """The first eight bars of a tune given as ABC; None where it is left out, with ``upbeat`` if none ends the loop."""
    score, stated = tune_score(text), stated_key(text)
    if score is None or stated is None:
        return None
    signatures = {(s.numerator, s.denominator) for s in score.recurse().getElementsByClass("TimeSignature")}
    if len(signatures) != 1:
        return None
    (signature,) = signatures
    numerator, denominator = SAME_BARS.get(signature, signature)
    try:
        metre = parse_metre(f"{numerator}/{denominator}")
        key = parse_key(f"{TONICS[stated[0]]} {stated[1]}")
    except ValueError:
        return None
    notes = _eight_bars(score.parts[0], metre, upbeat)
    if notes is None or any(note.pitch % 12 not in key.pcs for note in notes):
        return None
    name = next((row[2:].strip() for row in text.splitlines() if row.startswith("T:")), "")
    return Tune(name, key, metre, notes)


def _eight_bars(part: Any, metre: Metre, upbeat: bool) -> tuple[Note, ...] | None:
    """The notes of the first eight bars, the upbeat in the eighth where it makes room; each held to the next."""
    slot = metre.quarters_per_bar / metre.grid
    before, measures = _bars(part, metre.quarters_per_bar)
    if len(measures) < BARS:
        return None
    room = metre.quarters_per_bar - _quarters(measures[-1])
    if (upbeat and not room) or room not in (0, sum(map(_quarters, before))):
        return None
    starts = [metre.quarters_per_bar * bar for bar in range(BARS)]
    placed = [*zip(measures, starts, strict=True)]
    placed += [(before[0], metre.quarters_per_bar * BARS - room)] if room else []
    onsets: list[int] = []
    pitches: list[int] = []
    for measure, start in placed:
        for element in measure.recurse().notes:
            at = (start + Fraction(element.getOffsetInHierarchy(measure)).limit_denominator(96)) / slot
            if at.denominator != 1 or len(element.pitches) != 1 or not element.quarterLength:
                return None
            if element.tie is None or element.tie.type == "start":
                onsets.append(int(at))
                pitches.append(round(element.pitches[0].ps))
    wrong = len(onsets) < FEWEST_NOTES or len(set(onsets)) < len(onsets) or onsets[0] != 0
    return None if wrong else line(tuple(onsets), tuple(pitches), BARS * metre.grid)


def _quarters(measure: Any) -> Fraction:
    return Fraction(measure.duration.quarterLength).limit_denominator(96)


def _bars(part: Any, quarters: Fraction) -> tuple[list[Any], list[Any]]:
    """The measure of the upbeat, if there is one, and up to eight bars: whole ones, the last of them maybe shorter."""
    before: list[Any] = []
    bars: list[Any] = []
    for measure in part.getElementsByClass("Measure"):
        length = _quarters(measure)
        if length == quarters or (length < quarters and len(bars) == BARS - 1):
            bars.append(measure)
        elif bars or before or length > quarters:
            break
        else:
            before.append(measure)
        if len(bars) == BARS:
            break
    return before, bars
