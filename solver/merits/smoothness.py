"""Smooth together: no dissonances above the lowest part on the first beats of bars.

Unit: notes, or struck chords, of other parts that sound on a bar's first slot at a second, fourth, tritone or seventh
above the lowest note there, in whatever octave, as a loss. That these dissonate, and the fourth above the bass alone,
is common practice, no source at hand; but for that fourth they are the interval classes whose consonance Huron 1994
(Music Perception 11(3)) has below zero (from memory). What a chord has above its own bass is no loss: the seventh of a
seventh chord, the fourth of a suspended one. Tells chorales from broken ones (tests/outside/ranking).
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from solver.heard import Heard
from solver.merits.meetings import losses, model_above_lowest
from solver.merits.merit import Merit, Reward
from solver.music.chords import Chord

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "smooth together"
CONSONANT = frozenset({0, 3, 4, 7, 8, 9})  # semitones above the lowest note, within an octave


@lru_cache(maxsize=128)
def _in_chord(chord: Chord) -> frozenset[int]:
    """Semitones above its bass, within an octave, of all tones of a chord."""
    return frozenset((pc - chord.bass.pc) % 12 for pc in chord.pcs)


def dissonates(upper: tuple[int, ...], lower: tuple[int, ...], chord: Chord) -> bool:
    """Whether any of the upper part's notes dissonates with the lowest note of the lower part under a chord."""
    smooth = CONSONANT | _in_chord(chord) if lower[0] % 12 == chord.bass.pc else CONSONANT
    return any((pitch - lower[0]) % 12 not in smooth for pitch in upper)


def _places(heard: Heard) -> list[bool]:
    return [
        dissonates(high.pitches, low.pitches, heard.plan.span_at(meeting.slot).chord)
        for meeting, high, low in heard.above_lowest
    ]


def measure(heard: Heard) -> int:
    """Dissonances, negative."""
    return -sum(_places(heard))


def reward(model: PitchModel) -> Reward:
    """A literal for each place, shared by repeats under the same chord."""
    places = [(meeting, model.plan.span_at(meeting.slot).chord) for meeting in model_above_lowest(model)]
    return losses(model, places, lambda high, low, chord: int(dissonates(high.pitches, low.pitches, chord)))


def sentence(heard: Heard) -> str:
    """How many dissonances there are."""
    places = _places(heard)
    if not places:
        return "no two parts sound together on the first beat of a bar"
    return f"{sum(places)} of {len(places)} intervals above the lowest part on the first beats of bars are dissonant"


MERIT = Merit(NAME, lambda plan: len(plan.parts) > 1, measure, lambda heard: 0, sentence, reward)
