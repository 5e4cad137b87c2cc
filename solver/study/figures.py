"""How a part's notes are chosen and where they go: figure and motion, in the words of a brief."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from solver.music.scales import Key, is_step, scale_under_chord
from solver.study.harmony import Harmony
from solver.study.loop import Loop, LoopPart
from solver.study.rhythm_facts import density_of
from solver.study.spelling import chord_of
from solver.study.texture import SINGLE, texture_of

FEW, BROKEN, STEPS = "few notes", "broken chord", "steps"
BROKEN_INSIDE = 0.95  # share of a broken chord's notes that are chord tones
BROKEN_SPANS = 0.7  # share of its chord spans with three tones or more
BROKEN_LEAPS = 0.6  # share of its moves that are no steps
BROKEN_EVEN = 0.45  # share of its onset-to-onset times that are equal
BROKEN_DENSITY = 4.0  # fewest notes in four quarters
STEPS_SHARE = 0.75  # share of moves by step in the figure "steps"; a brief asks for two thirds
STEPS_DENSITY = 3.0  # notes in four quarters up to which a line has few notes, however it moves
LEAST_MOVES = 4


@dataclass(frozen=True)
class Moves:
    """How often a line repeats, steps and leaps; ``largest`` in semitones."""

    repeats: int
    steps: int
    leaps: int
    largest: int


def moves_of(loop: Loop, harmony: Harmony, key: Key, part: LoopPart) -> Moves:
    """Repetitions, steps in the scale as the chords alter it, and leaps of the part's top line."""
    repeats = steps = leaps = largest = 0
    for (onset, low), (_, high) in pairwise(part.tops):
        largest = max(largest, abs(high - low))
        scale = scale_under_chord(key, chord_of(harmony.at(onset).chord, key))
        if low == high:
            repeats += 1
        elif is_step(low, high, scale):
            steps += 1
        else:
            leaps += 1
    return Moves(repeats, steps, leaps, largest)


def figure_of(loop: Loop, harmony: Harmony, key: Key, part: LoopPart) -> str:
    """The figure of a line: broken chord, steps, or else few notes."""
    if texture_of(part) != SINGLE:
        return FEW
    moves = moves_of(loop, harmony, key, part)
    moving = moves.steps + moves.leaps
    if moving < LEAST_MOVES:
        return FEW
    if moves.leaps >= BROKEN_LEAPS * moving and _is_even(loop, part) and _is_broken(harmony, part):
        return BROKEN
    is_running = density_of(loop, part) > STEPS_DENSITY
    return STEPS if is_running and moves.steps >= STEPS_SHARE * moving else FEW


def motion_of(loop: Loop, harmony: Harmony, part: LoopPart, lowest: bool) -> str:
    """Where the first notes of the bars go within each pass: "down", "up", "hold" (one pitch a chord) or "free".

    ``lowest`` says that of a stroke of several notes the lowest counts, not the top.
    """
    voice = {stroke[0].onset: (stroke[0] if lowest else stroke[-1]).pitch for stroke in part.strokes}
    spans = [[pitch for onset, pitch in voice.items() if s.start <= onset < s.end] for s in harmony.spans]
    if any(len(pitches) > 1 for pitches in spans) and all(len(set(pitches)) == 1 for pitches in spans if pitches):
        return "hold"
    passes = _first_notes(loop, harmony, voice)
    if passes and all(len(pitches) > 2 or pitches[0] != pitches[-1] for pitches in passes):
        if all(_falls(pitches) for pitches in passes):
            return "down"
        if all(_falls(pitches[::-1]) for pitches in passes):
            return "up"
    return "free"


def _is_even(loop: Loop, part: LoopPart) -> bool:
    """Whether a line is as busy and as even as chords are broken."""
    gaps = Counter(b - a for (a, _), (b, _) in pairwise(part.tops))
    most = gaps.most_common(1)[0][1]
    return most >= BROKEN_EVEN * gaps.total() and density_of(loop, part) >= BROKEN_DENSITY


def _is_broken(harmony: Harmony, part: LoopPart) -> bool:
    inside = total = full = counted = 0
    for span in harmony.spans:
        classes = [pitch % 12 for onset, pitch in part.tops if span.start <= onset < span.end]
        tones = set(span.chord.degrees)
        inside += sum(pc in tones for pc in classes)
        total += len(classes)
        if len(classes) >= 3:
            counted += 1
            full += len(set(classes) & tones) >= 3
    return counted > 0 and inside >= BROKEN_INSIDE * total and full >= BROKEN_SPANS * counted


def _first_notes(loop: Loop, harmony: Harmony, voice: dict[int, int]) -> list[list[int]]:
    """For each pass the first notes of its bars, where there are two or more."""
    passes: dict[int, list[int]] = {}
    seen: set[int] = set()
    for onset, pitch in sorted(voice.items()):
        bar = onset // loop.metre.grid
        if bar not in seen:
            seen.add(bar)
            passes.setdefault(bar // harmony.pass_bars, []).append(pitch)
    return [pitches for pitches in passes.values() if len(pitches) > 1]


def _falls(pitches: list[int]) -> bool:
    return all(a >= b for a, b in pairwise(pitches)) and pitches[0] > pitches[-1]
