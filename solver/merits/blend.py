"""The parts fuse into one texture.

Unit: for each pair of neighbouring parts that sound on the first beat of a bar, 2 where they are within an octave;
where a chord starts, 1 more if their interval fuses (fifth or octave: Huron 2001, Music Perception 19(1), tonal
fusion); and 1 for each note that starts together with another part's (onset synchrony fuses: Huron 1989, Music
Perception 6(4), and 2001).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from itertools import chain
from typing import TYPE_CHECKING

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.meetings import losses, model_meetings
from solver.merits.merit import Merit, Onsets, Reward

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the parts blend"
OCTAVE = 12
FUSED = (0, 7)


def fusion(upper: tuple[int, ...], lower: tuple[int, ...], at_start: bool) -> int:
    """How two neighbouring parts' notes fuse: their nearest notes count. ``at_start``: a chord starts there."""
    return 2 * is_near(upper, lower) + (at_start and is_fused(upper, lower))


def is_near(upper: tuple[int, ...], lower: tuple[int, ...]) -> bool:
    """Whether the nearest notes are within an octave."""
    return abs(upper[0] - lower[-1]) <= OCTAVE


def is_fused(upper: tuple[int, ...], lower: tuple[int, ...]) -> bool:
    """Whether the nearest notes are a fifth or an octave apart, or some octaves more."""
    return (upper[0] - lower[-1]) % OCTAVE in FUSED


def chord_starts(plan: Plan) -> frozenset[int]:
    """The slots at which chords start."""
    return frozenset(span.start for span in plan.spans)


def together(onsets: Mapping[str, Onsets]) -> int:
    """Notes that start together with a note of another part."""
    starts = Counter(chain.from_iterable(onsets.values()))
    return sum(count for count in starts.values() if count > 1)


def measure(heard: Heard) -> int:
    """Fusion of neighbours and notes that start together."""
    starts = chord_starts(heard.plan)
    pairs = sum(fusion(high.pitches, low.pitches, m.slot in starts) for m, high, low in heard.meetings)
    return pairs + together(heard.onsets)


def best(heard: Heard) -> int:
    """All neighbours fuse, all notes start together."""
    starts = chord_starts(heard.plan)
    pairs = sum(2 + (meeting.slot in starts) for meeting, _, _ in heard.meetings)
    return pairs + sum(len(strokes) for strokes in heard.parts.values())


def reward(model: PitchModel) -> Reward:
    """What neighbours lack of fusing; the rhythm's share is constant."""
    starts = chord_starts(model.plan)
    met = [(meeting, meeting.slot in starts) for meeting in model_meetings(model)]
    at_starts = [place for place in met if place[1]]
    far = losses(model, met, lambda high, low, _: int(not is_near(high.pitches, low.pitches)), each=2)
    loose = losses(model, at_starts, lambda high, low, _: int(not is_fused(high.pitches, low.pitches)))
    most = together(model.skeleton.onsets) + sum(2 + at_start for _, at_start in met)
    return Reward([*far.terms, *loose.terms], most)


def sentence(heard: Heard) -> str:
    """How many are near, how many start together."""
    pairs = [(high, low) for _, high, low in heard.meetings]
    near = sum(abs(high.pitches[0] - low.pitches[-1]) <= OCTAVE for high, low in pairs)
    notes = sum(len(strokes) for strokes in heard.parts.values())
    return (
        f"{near} of {len(pairs)} neighbours on the first beats of bars are within an octave, "
        f"{together(heard.onsets)} of {notes} notes start together"
    )


def applies(plan: Plan) -> bool:
    """A lone part has nothing to blend with."""
    return len(plan.parts) > 1


MERIT = Merit(NAME, applies, measure, best, sentence, reward)
