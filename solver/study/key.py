"""The key: a score for every tonic and mode, the best keys in order, and whether the notes decide between them.

A key's score is the mean over five published profiles of the correlation between the profile and how long each pitch
class sounds (the method of Krumhansl and Schmuckler: Krumhansl 1990, Cognitive Foundations of Musical Pitch). The two
profiles that measure worst on folk tunes are left out. For a church mode the two degrees in which it differs from
major or minor change places in the profile (dorian is minor with its sixths exchanged), and something is taken off.
Signs of the tonic are added: in a loop its first chord, else the lowest note at the end. What is added and taken off
are settings of our own, found by trial.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.music.pitch import LETTERS, Spelled
from solver.music.scales import MOST_ACCIDENTALS, Key
from solver.study.evidence import bass_part
from solver.study.harmony import Harmony
from solver.study.loop import Loop
from solver.study.profiles import PROFILES, Profile
from solver.study.texture import SINGLE, texture_of

if TYPE_CHECKING:
    import numpy

LEFT_OUT = frozenset({"probe tones", "plain weights"})
LAST_NOTE = 0.07  # added to keys whose tonic is the lowest note at the end
FIRST_CHORD = 0.12  # added to the key whose tonic chord comes first, where several parts play
LOOP_START = 0.3  # the same in a loop, which ends on what leads back and starts at home
SHORT = 8  # bars up to which a file is taken for a loop in any case
MODE = 0.1  # taken from church modes, which are less usual
NEAR = 0.3  # a key that scores less by no more than this is a candidate too
CLEAR = 0.1  # by so much the best has to lead for the notes to decide
MOST_CANDIDATES = 4
FAR = 0.6  # what scores less by more than this is no candidate in any case
RELATED = 2  # of the best, so many bring the major and minor keys of the same notes along
HEARD = 0.015  # share of the sound from which a degree counts as heard
RARELY = 0.2  # a degree that sounds less than this share of its other form counts as not in the scale
MINOR_THIRDS = frozenset({"m", "m7", "m6", "madd9", "m9", "mmaj7", "dim", "m7b5", "dim7"})
# Each mode's profile: that of major or minor with two degrees (semitones above the tonic) exchanged; the first of the
# two is the one by which the mode is known.
MODES: dict[str, tuple[str, tuple[int, int] | None]] = {
    "major": ("major", None),
    "minor": ("minor", None),
    "dorian": ("minor", (9, 8)),
    "mixolydian": ("major", (10, 11)),
    "lydian": ("major", (6, 5)),
    "phrygian": ("minor", (1, 2)),
}


@dataclass(frozen=True)
class KeyFinding:
    """Keys in order of their scores, the best first. ``certain`` says that the notes decide between them: the first
    key leads clearly, and the piece begins on its tonic chord."""

    candidates: tuple[Key, ...]
    scores: tuple[float, ...]
    certain: bool

    @property
    def key(self) -> Key:
        """The best one."""
        return self.candidates[0]


def key_of(loop: Loop, harmony: Harmony) -> KeyFinding:
    """The key of a loop, and what else it may be."""
    weights = durations(loop)
    profiles = [profile for profile in PROFILES if profile.name not in LEFT_OUT]
    signs = _signs(loop, harmony)
    scored: list[tuple[float, int, str]] = []
    for mode, (family, _) in MODES.items():
        fit = sum(correlations(weights, mode_values(profile, mode)) for profile in profiles) / len(profiles)
        fit = fit + signs[family] - (0.0 if mode == family else MODE)
        scored += [(float(fit[tonic]), tonic, mode) for tonic in range(12) if _is_heard(weights, mode, tonic)]
    scored.sort(key=lambda entry: (-entry[0], entry[1], entry[2]))
    near = [entry for entry in scored if entry[0] >= scored[0][0] - NEAR][:MOST_CANDIDATES]
    keys: dict[Key, float] = {}
    for score, tonic, mode in [*near, *_same_notes(near[:RELATED], scored)]:
        keys.setdefault(_spelled(tonic, _minor_form(weights, harmony, tonic) if mode == "minor" else mode), score)
    starts_at_home = harmony.spans[0].chord.root == scored[0][1]
    certain = starts_at_home and scored[0][0] - scored[1][0] >= CLEAR
    return KeyFinding(tuple(keys), tuple(keys.values()), certain)


def durations(loop: Loop) -> numpy.ndarray:
    """Quarters for which each pitch class sounds, over all parts."""
    import numpy

    weights = numpy.zeros(12)
    for note in loop.notes:
        weights[note.pitch % 12] += note.length * float(loop.quarters_per_slot)
    return weights


def _same_notes(
    near: list[tuple[float, int, str]], scored: list[tuple[float, int, str]]
) -> list[tuple[float, int, str]]:
    """The major and minor keys with the same notes as some others, by their scores."""
    collections = [_spelled(tonic, mode).pcs for _, tonic, mode in near]
    plain = [entry for entry in scored if MODES[entry[2]][1] is None and entry[0] >= scored[0][0] - FAR]
    return [entry for entry in plain if _spelled(entry[1], entry[2]).pcs in collections]


def mode_values(profile: Profile, mode: str) -> tuple[float, ...]:
    """A profile for a mode of ``MODES``, index 0 being the tonic."""
    family, exchanged = MODES[mode]
    values = list(profile.major if family == "major" else profile.minor)
    if exchanged:
        one, other = exchanged
        values[one], values[other] = values[other], values[one]
    return tuple(values)


def correlations(weights: numpy.ndarray, values: tuple[float, ...]) -> numpy.ndarray:
    """Pearson correlation of weights with a profile on each tonic from C up; all zero where the weights are equal."""
    import numpy

    centred = weights - weights.mean()
    size = numpy.linalg.norm(centred)
    shape = numpy.array(values, dtype=float) - numpy.mean(values)
    shape /= numpy.linalg.norm(shape)
    rows = [float(centred @ numpy.roll(shape, tonic)) for tonic in range(12)]
    return numpy.array(rows) / size if size > 0 else numpy.zeros(12)


def _is_heard(weights: numpy.ndarray, mode: str, tonic: int) -> bool:
    """Whether the degree by which a church mode is known sounds at all."""
    exchanged = MODES[mode][1]
    return exchanged is None or bool(weights[(tonic + exchanged[0]) % 12] >= HEARD * weights.sum())


def _minor_form(weights: numpy.ndarray, harmony: Harmony, tonic: int) -> str:
    """Natural, harmonic or melodic minor. A raised seventh that only the chords on the fifth and seventh degree bring
    is what they bring to natural minor."""

    def only(degree: int, other: int) -> bool:
        one, two = weights[(tonic + degree) % 12], weights[(tonic + other) % 12]
        return bool(one >= HEARD * weights.sum() and two <= RARELY * one)

    if not only(11, 10) or _brought_by_dominant(harmony, tonic):
        return "minor"
    return "melodic minor" if only(9, 8) else "harmonic minor"


def _brought_by_dominant(harmony: Harmony, tonic: int) -> bool:
    leading = (tonic + 11) % 12
    holders = {span.chord.root for span in harmony.spans if leading in span.chord.degrees}
    return bool(holders) and holders <= {(tonic + 7) % 12, leading}


def _signs(loop: Loop, harmony: Harmony) -> dict[str, numpy.ndarray]:
    """What the beginning and the end add to the keys of the major and of the minor family, by tonic.

    A single line has no first chord that one could hear at once: of it the end counts alone.
    """
    import numpy

    added = {"major": numpy.zeros(12), "minor": numpy.zeros(12)}
    first = harmony.spans[0].chord
    home = "minor" if first.quality in MINOR_THIRDS else "major"
    is_line = len(loop.parts) == 1 and texture_of(loop.parts[0]) == SINGLE
    if not is_line and (loop.bars <= SHORT or loop.bars >= 2 * harmony.pass_bars):
        added[home][first.root] += LOOP_START
        return added
    last = max(bass_part(loop).notes, key=lambda note: (note.onset, -note.pitch))
    for family in added.values():
        family[last.pitch % 12] += LAST_NOTE
    if not is_line:
        added[home][first.root] += FIRST_CHORD
    return added


def _spelled(tonic: int, mode: str) -> Key:
    keys = [Key(Spelled(letter, alter), mode) for letter in LETTERS for alter in (0, 1, -1)]
    keys = [key for key in keys if key.tonic.pc == tonic and abs(key.signature) <= MOST_ACCIDENTALS]
    return min(keys, key=lambda key: (abs(key.signature), key.tonic.alter))
