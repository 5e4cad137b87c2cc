"""Loops cut from tunes of old printed collections in music21's corpus, read in place: the first eight whole bars.

Left out are tunes in metres that briefs do not have, off the grid of sixteenths, shorter than eight bars, with several
notes at once, with accidentals, triplets, grace notes or a note outside the scale that
their key line gives.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
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
BARS = 8
FEWEST_NOTES = 16
LEAD = "lead"
# The usual spelling of each tonic; a key with more than seven accidentals is no key of a printed tune.
DECORATED = re.compile(r"[\^_={]|\(3")  # accidentals, grace notes, triplets of ABC
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


def drawn_loops(folder: str, number: int, *, unseen: bool = False, seed: int = 1) -> list[Tune]:
    """So many loops of a collection, from its tunes in an order drawn by a seed.

    ``unseen`` takes them from the end of that order, away from those that other figures look at.
    """
    texts = [text for text in tune_texts(folder) if not DECORATED.search(text.partition("\nK:")[2].partition("\n")[2])]
    Random(seed).shuffle(texts)
    found: list[Tune] = []
    for text in reversed(texts) if unseen else texts:
        tune = loop_in(text)
        found += [] if tune is None else [tune]
        if len(found) == number:
            break
    return found


def loop_in(text: str) -> Tune | None:
    """The first eight whole bars of a tune given as ABC; None where it is left out."""
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
    notes = _eight_bars(score.parts[0], metre)
    if notes is None or any(note.pitch % 12 not in key.pcs for note in notes):
        return None
    name = next((row[2:].strip() for row in text.splitlines() if row.startswith("T:")), "")
    return Tune(name, key, metre, notes)


def _eight_bars(part: Any, metre: Metre) -> tuple[Note, ...] | None:
    """The notes of the first eight bars after the upbeat, each held to the next."""
    slot = metre.quarters_per_bar / metre.grid
    measures = list(_whole_bars(part, metre.quarters_per_bar))[:BARS]
    onsets: list[int] = []
    pitches: list[int] = []
    for bar, measure in enumerate(measures):
        for element in measure.recurse().notes:
            at = Fraction(element.getOffsetInHierarchy(measure)).limit_denominator(96) / slot
            if at.denominator != 1 or len(element.pitches) != 1 or not element.quarterLength:
                return None
            if element.tie is None or element.tie.type == "start":
                onsets.append(bar * metre.grid + int(at))
                pitches.append(round(element.pitches[0].ps))
    wrong = len(measures) < BARS or len(onsets) < FEWEST_NOTES or len(set(onsets)) < len(onsets) or onsets[0] != 0
    return None if wrong else line(tuple(onsets), tuple(pitches), BARS * metre.grid)


def _whole_bars(part: Any, quarters: Fraction) -> Iterator[Any]:
    """Measures from the first whole one on; the bars that repeat signs split end the loop."""
    begun = False
    for measure in part.getElementsByClass("Measure"):
        whole = Fraction(measure.duration.quarterLength).limit_denominator(96) == quarters
        if begun and not whole:
            return
        begun = begun or whole
        if whole:
            yield measure
