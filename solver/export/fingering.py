"""Where a hand plays a part: a string and a fret for each note, by a shortest path over string, fret and position.

Choosing among the places of each note by a shortest path is due to Sayegh (1989, Fingering for string instruments
with the optimum path paradigm, Computer Music Journal 13(3), 76-84, from memory). What it costs follows the factors
that Heijink and Meulenbroek (2002, On the complexity of classical guitar playing: functional adaptations to task
constraints, Journal of Motor Behavior 34(4), 339-351, from memory) found to count: how far the hand travels along the
neck, and how far the fingers spread. Both are lengths along the string, so a shift near the nut costs more than the
same one up the neck; fret n lies L (1 - 2^(-n/12)) from the nut. The loop closes: the hand's way back to the start
counts too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from solver.arrangement import Note
from solver.brief.plan import SINGLE, PartPlan, Plan
from solver.music.fretboard import FINGERS, Place, Voicing, hand_shapes, pitch_at, places, positions
from solver.music.instruments import Instrument

SCALE_LENGTH = 648.0  # mm from nut to bridge (common practice, no source: 628 to 650 on guitars)
# Weights of our own, found by trial; costs count in mm of the hand's way.
TRAVEL = 1.0  # the hand's way along the neck
STRETCH = 1.0  # a finger's way beyond the four adjacent frets under the hand
CROSSING = 3.0  # each string between one note and the next
HEIGHT = 0.04  # share of the hand's distance from the nut, at each stroke: of equal ways the lower one
AWAY = 0.15  # of an open string: share of the hand's distance from position NEAR, where it sounds unlike the rest
NEAR = 4  # the highest position in which open strings are usual
UNIT = 1000  # costs are whole numbers of this many to the mm, so that no rounding decides

Stroke = tuple[Note, ...]
Costs = NDArray[np.int64]


@dataclass(frozen=True)
class Fingering:
    """Places of a part's notes. ``unplayable`` holds the notes that no hand on this instrument plays as they stand."""

    places: dict[Note, Place]
    unplayable: tuple[Note, ...]
    cost: int  # of the whole loop, UNIT to the mm


@dataclass(frozen=True)
class _Hands:
    """The ways to play one stroke: row by row a voicing's index, a hand position, and what that costs by itself."""

    voicings: tuple[Voicing, ...]
    choice: NDArray[np.intp]
    position: NDArray[np.intp]
    string: NDArray[np.float64]  # the middle of the strings used
    cost: Costs


def fingering(plan: Plan, part: PartPlan, notes: Sequence[Note]) -> Fingering:
    """String and fret for each of a part's notes, so that the hand moves and stretches least over the whole loop.

    Places that the notes bring (of a chord's voicing, of a broken chord's shape) are kept. A part that repeats itself
    is fingered once: equal notes of later statements lie where those of the first one do.
    """
    strokes = _strokes(notes)
    ways = [_ways(plan, part, stroke, strokes) for stroke in strokes]
    if part.repeat_every is not None:
        ways = _as_first_statement(plan, part, strokes, ways)
    hands = [_hands(part.instrument, way) for way in ways]
    path, cost = _shortest_round([hand for hand in hands if hand.voicings])
    found: dict[Note, Place] = {}
    chosen = iter(path)
    for stroke, hand in zip(strokes, hands, strict=True):
        if hand.voicings:
            found.update(zip(stroke, hand.voicings[hand.choice[next(chosen)]], strict=True))
    unplayable = [note for stroke in strokes for note in stroke if not _held(part, stroke, note, found)]
    return Fingering(found, tuple(unplayable), cost)


def _strokes(notes: Sequence[Note]) -> list[Stroke]:
    """Notes grouped by onset, low to high."""
    groups: dict[int, list[Note]] = {}
    for note in sorted(notes, key=lambda note: (note.onset, note.pitch)):
        groups.setdefault(note.onset, []).append(note)
    return [tuple(group) for group in groups.values()]


def _ways(plan: Plan, part: PartPlan, stroke: Stroke, strokes: list[Stroke]) -> tuple[Voicing, ...]:
    """Every way to take a stroke; the one it brings where it brings one, none where no string has a note of it."""
    given = _given(part.instrument, stroke)
    if given:
        return (given,)
    if part.rings:
        return _from_held_shape(plan, part, stroke, strokes)
    pitches = tuple(note.pitch for note in stroke)
    return (
        hand_shapes(pitches, part.instrument, neighbouring=part.texture not in (SINGLE, "dyads"))
        or hand_shapes(pitches, part.instrument)
        or hand_shapes(pitches, part.instrument, part.instrument.frets + 1)
    )


def _given(instrument: Instrument, stroke: Stroke) -> Voicing | None:
    """The places that a stroke brings, where all its notes bring one and each is where its pitch is."""
    brought = [(note.string, note.fret, note.pitch) for note in stroke]
    voicing: list[Place] = []
    for string, fret, pitch in brought:
        if string is None or fret is None or (string, fret) not in places(pitch, instrument):
            return None
        voicing.append((string, fret))
    return tuple(voicing)


def _from_held_shape(plan: Plan, part: PartPlan, stroke: Stroke, strokes: list[Stroke]) -> tuple[Voicing, ...]:
    """A broken chord's stroke as its hand's shape has it: one shape for all that is played while a chord lasts."""
    held = plan.hold_end(part, stroke[0].onset)
    pitches = tuple(
        sorted({note.pitch for other in strokes for note in other if plan.hold_end(part, note.onset) == held})
    )
    shapes = hand_shapes(pitches, part.instrument, part.instrument.hand_span, neighbouring=True)
    wanted = [pitches.index(note.pitch) for note in stroke]
    found = {tuple(shape[index] for index in wanted): None for shape in _easiest(part.instrument, shapes)}
    return tuple(found) or hand_shapes(tuple(note.pitch for note in stroke), part.instrument)


def _easiest(instrument: Instrument, shapes: tuple[Voicing, ...]) -> tuple[Voicing, ...]:
    """The one shape that by itself costs least."""
    return (min(shapes, key=lambda shape: (int(_hands(instrument, (shape,)).cost.min()), shape)),) if shapes else ()


def _as_first_statement(
    plan: Plan, part: PartPlan, strokes: list[Stroke], ways: list[tuple[Voicing, ...]]
) -> list[tuple[Voicing, ...]]:
    """The ways of all strokes once the first statement is settled: strokes that repeat one lie where it lies."""
    first = [index for index, stroke in enumerate(strokes) if plan.home_slot(part, stroke[0].onset) == stroke[0].onset]
    hands = [_hands(part.instrument, ways[index]) for index in first]
    path, _ = _shortest_round([hand for hand in hands if hand.voicings])
    chosen = iter(path)
    settled: dict[tuple[int, tuple[int, ...]], tuple[Voicing, ...]] = {}
    for index, hand in zip(first, hands, strict=True):
        if hand.voicings:
            key = (strokes[index][0].onset, tuple(note.pitch for note in strokes[index]))
            settled[key] = (hand.voicings[hand.choice[next(chosen)]],)
    keys = [(plan.home_slot(part, stroke[0].onset), tuple(note.pitch for note in stroke)) for stroke in strokes]
    return [
        settled.get(key, way) if _given(part.instrument, stroke) is None else way
        for key, stroke, way in zip(keys, strokes, ways, strict=True)
    ]


def _hands(instrument: Instrument, voicings: tuple[Voicing, ...]) -> _Hands:
    """Every hand position from which each voicing can be taken."""
    span = max(instrument.hand_span, instrument.chord_span)
    rows = [
        (index, position, sum(string for string, _ in voicing) / len(voicing), _effort(voicing, position))
        for index, voicing in enumerate(voicings)
        for position in _positions(instrument, voicing, span)
    ]
    columns = list(zip(*rows, strict=True)) or [(), (), (), ()]
    return _Hands(
        voicings,
        np.array(columns[0], dtype=np.intp),
        np.array(columns[1], dtype=np.intp),
        np.array(columns[2], dtype=np.float64),
        np.array(columns[3], dtype=np.int64),
    )


def _positions(instrument: Instrument, voicing: Voicing, span: int) -> range:
    """Positions (the first finger's fret) under which a voicing's frets lie; all of them for open strings alone.

    A voicing wider than the hand is taken from its lowest fret.
    """
    frets = [fret for _, fret in voicing if fret]
    if not frets:
        return positions(instrument)
    lowest = max(max(frets) - span + 1, 1)
    return range(min(lowest, min(frets)), min(frets) + 1)


def _effort(voicing: Voicing, position: int) -> int:
    """What a stroke costs by itself: the fingers' stretch, the hand's distance from the nut, open strings up there."""
    reached = position + FINGERS - 1
    stretch = sum(max(0.0, _from_nut(fret) - _from_nut(reached)) for _, fret in voicing)
    away = sum(fret == 0 for _, fret in voicing) * max(0.0, _from_nut(position) - _from_nut(NEAR))
    return round(UNIT * (STRETCH * stretch + HEIGHT * _from_nut(position) + AWAY * away))


def _from_nut(fret: int) -> float:
    """A fret's distance from the nut in mm."""
    return SCALE_LENGTH * (1 - 2 ** (-fret / 12))


def _shortest_round(hands: list[_Hands]) -> tuple[list[int], int]:
    """For each stroke the row of its hands that lies on the shortest closed path through all, and the path's cost.

    The path's start is kept as a dimension of its own: ``cost[s, i]`` is the least cost from way s of the first
    stroke to way i of the present one.
    """
    if not hands:
        return [], 0
    first = hands[0]
    cost = np.full((len(first.cost), len(first.cost)), np.iinfo(np.int64).max // 4)
    np.fill_diagonal(cost, first.cost)
    back: list[NDArray[np.intp]] = []
    for before, after in pairwise(hands):
        through = cost[:, :, None] + _move(before, after)[None]
        back.append(through.argmin(axis=1))
        cost = through.min(axis=1) + after.cost
    closed = cost + _move(hands[-1], first).T
    start, at = (int(index) for index in np.unravel_index(int(closed.argmin()), closed.shape))
    total = int(closed[start, at])
    path = [at]
    for step in reversed(back):
        path.append(int(step[start, path[-1]]))
    return path[::-1], total


def _move(before: _Hands, after: _Hands) -> Costs:
    """What it costs to go from each way of one stroke (rows) to each way of the next (columns)."""
    nut = SCALE_LENGTH * (1 - 2.0 ** (-before.position / 12)), SCALE_LENGTH * (1 - 2.0 ** (-after.position / 12))
    travel = np.abs(nut[0][:, None] - nut[1][None])
    crossed = np.abs(before.string[:, None] - after.string[None])
    return np.rint(UNIT * (TRAVEL * travel + CROSSING * crossed)).astype(np.int64)


def _held(part: PartPlan, stroke: Stroke, note: Note, found: dict[Note, Place]) -> bool:
    """Whether a hand plays a note as it stands: it has a place, and its stroke's frets lie within a hand's span."""
    if note not in found:
        return False
    frets = [found[other][1] for other in stroke if found[other][1]]
    span = part.instrument.chord_span if len(stroke) > 1 else part.instrument.hand_span
    return pitch_at(found[note], part.instrument) == note.pitch and (not frets or max(frets) - min(frets) < span)
