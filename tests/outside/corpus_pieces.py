"""Pieces of music21's corpus, read in place, as loops that the study works on. Nothing of them is kept.

The chorales have published analyses (riemenschneiderNNN.rntxt; the BWV line names the score). Tunes are ABC: the
Essen collection (Schaffrath 1995), Ryan's Mammoth Collection (1883), O'Neill (1850 tunes, 1903), Aird's Airs (1778 on).
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any
from unittest.mock import patch

import music21
from music21 import converter, corpus

from solver.study.grid import loop_of
from solver.study.harmony import Harmony, harmony_of
from solver.study.loop import Loop
from solver.study.reference import Reference, Tone, Voice
from solver.study.xml_source import reference_of

CORPUS = Path(music21.__file__).parent / "corpus"
ALIGNED = 0.8  # share of what sounds under an analysis' chords that has to be in them, or else it is of another version
LEAST_NOTES = 8


@dataclass(frozen=True)
class Analysed:
    """A chorale with its analysis: the loop, and the analysis' chords as slot, root, whether the third is major, and
    pitch classes."""

    name: str
    loop: Loop
    tonic: int
    is_minor: bool
    chords: tuple[tuple[int, int, bool, frozenset[int]], ...]

    @cached_property
    def harmony(self) -> Harmony:
        """What the study finds in it."""
        return harmony_of(self.loop)

    @property
    def aligned(self) -> bool:
        """Whether score and analysis are of one version: two of the twenty are in other keys, one has other bars."""
        starts = [chord[0] for chord in self.chords]
        inside = total = 0
        for (slot, _, _, classes), end in zip(self.chords, [*starts[1:], self.loop.slots], strict=True):
            for note in self.loop.notes:
                sounding = min(note.end, end) - max(note.onset, slot)
                if sounding > 0:
                    total += sounding
                    inside += sounding * (note.pitch % 12 in classes)
        return inside >= ALIGNED * total


def chorales(each: int = 1) -> Iterator[Analysed]:
    """The chorales with analyses, in order, or each second, third … of them."""
    for path in sorted((CORPUS / "bach" / "choraleAnalyses").glob("*.rntxt"))[::each]:
        text = path.read_text(encoding="utf-8", errors="replace")
        number, key = (
            re.search(r"BWV:\s*([\d.]+)", text),
            re.search(r"^m\d+\w*.*?\b([A-Ga-g][#b]*):", text, re.MULTILINE),
        )
        assert number is not None
        assert key is not None
        score: Any = corpus.parse(f"bach/bwv{number[1]}")
        analysis: Any = converter.parse(path, format="romantext")
        yield _analysed(path.stem, score, analysis, key[1])


def tune_texts(folder: str, leave_out: str | None = None) -> list[str]:
    """All tunes of a folder of the corpus, as ABC, but for files whose names begin with ``leave_out``."""
    texts = []
    for path in sorted((CORPUS / folder).glob("*.abc")):
        if leave_out and path.name.startswith(leave_out):
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        texts += ["X:" + tune for tune in re.split(r"^X:", text, flags=re.MULTILINE)[1:]]
    return texts


def sample(texts: list[str], number: int | None, seed: int) -> list[str]:
    """So many of the texts, drawn by a seed; all where no number is given."""
    return texts if number is None else random.Random(seed).sample(texts, number)


def spread(texts: list[str], number: int) -> list[str]:
    """So many of the texts at equal distances, so that each file has its share."""
    return [texts[index * len(texts) // number] for index in range(number)]


def tune_score(text: str) -> Any | None:
    """A tune as music21 reads it; None where it cannot, or where it holds too few notes."""
    try:
        with patch.object(music21.stream.Stream, "makeBeams"):  # half the time of reading, and nobody looks at beams
            score: Any = converter.parse(text, format="abc")
        score = score if isinstance(score, music21.stream.Score) else score.scores[0]
        return score if len(list(score.recurse().notes)) >= LEAST_NOTES else None
    except (music21.exceptions21.Music21Exception, AttributeError, IndexError, KeyError, TypeError, ValueError):
        return None


def tune_loop(score: Any) -> Loop:
    """A tune on its grid, repeats played out."""
    return loop_of(reference_of(score))


def stated_key(text: str) -> tuple[int, str] | None:
    """Tonic (pitch class) and mode that a tune's ``K:`` line gives; None where it gives none."""
    found = re.search(r"^K:[ \t]*([A-G])([#b]?)[ \t]*([A-Za-z]*)", text, re.MULTILINE)
    if found is None:
        return None
    tonic = (
        {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[found[1]] + {"#": 1, "b": -1, "": 0}[found[2]]
    ) % 12
    mode = found[3].lower()[:3]
    modes = {"": "major", "maj": "major", "m": "minor", "min": "minor", "dor": "dorian", "mix": "mixolydian"}
    return (tonic, modes[mode]) if mode in modes else None


def _analysed(name: str, score: Any, analysis: Any, key: str) -> Analysed:
    """The score as written (repeats once), its bar lines where the analysis counts them."""
    metre = score.recurse().getElementsByClass("TimeSignature")[0]
    bar = Fraction(4 * metre.numerator, metre.denominator)
    bars: dict[int, Fraction] = {}
    for measure in score.parts[0].getElementsByClass("Measure"):
        bars.setdefault(measure.number, _exact(measure.offset))  # a bar that a repeat sign splits has two measures
    shift = -bars[1] % bar
    voices = tuple(Voice(part.partName or "", _tones(part, shift)) for part in score.parts)
    end = max(tone.end for voice in voices for tone in voice.tones)
    loop = loop_of(Reference(voices, None, (metre.numerator, metre.denominator), None, end))
    slot = loop.quarters_per_slot
    chords = {}
    for numeral in analysis.recurse().getElementsByClass("RomanNumeral"):
        if numeral.measureNumber in bars:
            at = int((bars[numeral.measureNumber] + _exact(numeral.offset) + shift) / slot)
            third = numeral.third
            root = numeral.root().pitchClass
            major = third is not None and (third.pitchClass - root) % 12 == 4
            chords[at] = (at, root, major, frozenset(pitch.pitchClass for pitch in numeral.pitches))
    tonic = music21.pitch.Pitch(key[0].upper() + key[1:].replace("b", "-")).pitchClass
    return Analysed(name, loop, tonic, key[0].islower(), tuple(chords[at] for at in sorted(chords) if at < loop.slots))


def _tones(part: Any, shift: Fraction) -> tuple[Tone, ...]:
    tones = []
    part.stripTies(inPlace=True)
    notes = part.recurse().notes
    for element in notes:
        if element.quarterLength:
            start = _exact(notes.currentHierarchyOffset()) + shift
            end = start + _exact(element.quarterLength)
            tones += [Tone(start, end, round(pitch.ps)) for pitch in element.pitches]
    return tuple(sorted(tones))


def _exact(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(96)
