"""How the study does on music21's corpus: counted here, held by tests on a sample, printed whole by the benchmarks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy

from solver.study.form import sections_of, upbeat_of
from solver.study.harmony import harmony_of
from solver.study.key import correlations, durations, key_of
from solver.study.loop import Loop
from solver.study.profiles import PROFILES
from tests.outside.corpus_pieces import Analysed, stated_key, tune_loop, tune_score

STUDY = "study"
MINOR_LIKE = ("minor", "dorian", "phrygian")


@dataclass(frozen=True)
class Share:
    """So many of so many."""

    good: int
    all: int

    @property
    def share(self) -> float:
        """As a number from 0 to 1."""
        return self.good / self.all if self.all else 0.0


def keys_of_tunes(texts: Iterable[str]) -> dict[str, Share]:
    """Tonics found in tunes, by the study and by each profile alone (durations, Pearson).

    The tonic counts and not the mode: as music21 reads them, the Essen files give the tonic only.
    """
    good: dict[str, int] = dict.fromkeys([STUDY, *(profile.name for profile in PROFILES)], 0)
    tunes = 0
    for text in texts:
        score, stated = tune_score(text), stated_key(text)
        if score is None or stated is None:
            continue
        loop = tune_loop(score)
        tunes += 1
        good[STUDY] += key_of(loop, harmony_of(loop)).key.tonic.pc == stated[0]
        for profile in PROFILES:
            good[profile.name] += best_alone(loop, profile.name)[0] == stated[0]
    return {name: Share(number, tunes) for name, number in good.items()}


def keys_of_chorales(pieces: Iterable[Analysed]) -> dict[str, Share]:
    """Keys (tonic and whether minor) of chorales, by the study and by each profile alone."""
    good: dict[str, int] = dict.fromkeys([STUDY, *(profile.name for profile in PROFILES)], 0)
    number = 0
    for piece in pieces:
        wanted = (piece.tonic, piece.is_minor)
        key = key_of(piece.loop, piece.harmony).key
        good[STUDY] += (key.tonic.pc, key.mode.endswith(MINOR_LIKE)) == wanted
        for profile in PROFILES:
            good[profile.name] += best_alone(piece.loop, profile.name) == wanted
        number += 1
    return {name: Share(count, number) for name, count in good.items()}


def best_alone(loop: Loop, name: str) -> tuple[int, bool]:
    """Tonic, and whether minor, by one profile alone."""
    profile = next(profile for profile in PROFILES if profile.name == name)
    weights = durations(loop)
    both = numpy.concatenate([correlations(weights, profile.major), correlations(weights, profile.minor)])
    best = int(both.argmax())
    return best % 12, best >= 12


def roots_of_chorales(pieces: Iterable[Analysed]) -> tuple[Share, Share]:
    """Slots in which the study's chord has the analysis' root, and slots in which the third agrees as well."""
    slots = roots = thirds = 0
    for piece in pieces:
        starts = [chord[0] for chord in piece.chords]
        for (slot, root, major, _), end in zip(piece.chords, [*starts[1:], piece.loop.slots], strict=True):
            for at in range(slot, end):
                chord = piece.harmony.at(at).chord
                slots += 1
                roots += chord.root == root
                thirds += chord.root == root and ((chord.root + 4) % 12 in chord.degrees) == major
    return Share(roots, slots), Share(thirds, slots)


def notated_sections(score: Any) -> list[int] | None:
    """Bars of each repeated section, where the whole tune is made of sections in repeat signs, each of whole bars and
    without a second ending; None for other tunes."""
    part = score.parts[0]
    measures = list(part.getElementsByClass("Measure"))
    if len(measures) < 2 or list(part.recurse().getElementsByClass("RepeatBracket")):
        return None
    sections, start = [], 0
    for index, measure in enumerate(measures):
        left, right = measure.leftBarline, measure.rightBarline
        if left is not None and "Repeat" in left.classes and left.direction == "start" and start != index:
            return None
        if right is not None and "Repeat" in right.classes and right.direction == "end":
            sections.append(measures[start : index + 1])
            start = index + 1
    if not sections or start != len(measures):
        return None
    bar = Fraction(measures[1].barDuration.quarterLength)
    lengths = [sum(Fraction(measure.duration.quarterLength) for measure in section) / bar for section in sections]
    return [int(length) for length in lengths] if all(length.denominator == 1 for length in lengths) else None


def repeats_of_tunes(texts: Iterable[str]) -> Share:
    """Tunes whose notated repeats are all found: where a section starts and where its repeat starts, one letter."""
    good = tunes = 0
    for text in texts:
        score = tune_score(text) if ":|" in text else None
        lengths = notated_sections(score) if score is not None else None
        if score is None or lengths is None:
            continue
        loop = tune_loop(score)
        part = loop.parts[0]
        if loop.bars - (upbeat_of(loop, part) > 0) != 2 * sum(lengths):
            continue  # played in another order than written
        tunes += 1
        sections = sections_of(loop, part)
        letters = {section.start - sections[0].start: section.letter for section in sections}
        starts = [2 * sum(lengths[:index]) for index in range(len(lengths))]
        good += all(
            letters.get(start) is not None and letters.get(start) == letters.get(start + length)
            for start, length in zip(starts, lengths, strict=True)
        )
    return Share(good, tunes)
