"""What the notes say of the harmony: weights of pitch classes in each unit of time, for all parts and for the bass.

A unit is half a bar where the metre halves its bars (4/4, 6/8, 12/8), else a bar; where chords change faster, a
counted beat. A note weighs what it lasts, more
where it starts on a strong slot, less where it passes by step on a weak one: such notes are the ones that harmony
books call passing and neighbour notes. The factors are settings of our own, found by trial, with no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from solver.arrangement import Note
from solver.study.loop import Loop, LoopPart
from solver.study.rhythm_facts import density_of

if TYPE_CHECKING:
    import numpy

STEP = 2  # semitones
ATTACK = 0.25  # quarters that a start adds to a note's length
STRONG, ON_BEAT, OFF_BEAT = 1.5, 1.2, 1.0  # factors by where a note starts
PASSING = 0.4  # factor of a weak note between two steps
HALF_STEP = 0.7  # factor of a weak note with a step on one side
ALONE = 0.3  # weight of the bass where a single part is its own bass
LONE_COLOUR = 0.5  # factor of what only one sparse line between others plays
CHORD = 3  # pitch classes that make a stroke a chord
SPARSE = 2.5  # strokes in four quarters


@dataclass(frozen=True)
class Unit:
    """A stretch of time that has one chord: slots ``start`` to ``end`` (exclusive)."""

    start: int
    end: int


@dataclass(frozen=True)
class Evidence:
    """Weights by unit and pitch class: ``heard`` of all parts, ``shared`` the same with what only one line plays
    counting less, ``bass`` of the lowest part, in quarters. ``struck`` has for each unit the strokes of three pitch
    classes or more that start in it."""

    units: tuple[Unit, ...]
    heard: numpy.ndarray
    shared: numpy.ndarray
    bass: numpy.ndarray
    struck: tuple[tuple[frozenset[int], ...], ...]


def usual_unit(loop: Loop) -> int:
    """Slots in a unit where chords last a bar or half of one."""
    grid = loop.metre.grid
    return grid // 2 if grid // 2 in loop.metre.strong else grid


def beat_unit(loop: Loop) -> int:
    """Slots in a counted beat; a dotted one in 6/8 and 12/8."""
    return loop.metre.slots_per_beat * (3 if loop.metre.is_compound else 1)


def evidence_of(loop: Loop, length: int) -> Evidence:
    """The evidence of all parts in units of so many slots, which have to fill the bar."""
    import numpy

    units = tuple(Unit(start, start + length) for start in range(0, loop.slots, length))
    lines = numpy.zeros((len(loop.parts), len(units), 12))
    chordal = numpy.zeros((len(units), 12))  # played in strokes of several notes
    struck: list[list[frozenset[int]]] = [[] for _ in units]
    for index, part in enumerate(loop.parts):
        factors = melodic_factors(loop, part)
        for stroke in part.strokes:
            classes = frozenset(note.pitch % 12 for note in stroke)
            if len(classes) >= CHORD:
                struck[stroke[0].onset // length].append(classes)
            for note in stroke:
                for number, weight in _weights(loop, units, note):
                    lines[index, number, note.pitch % 12] += weight * factors[note.onset]
                    if len(stroke) > 1:
                        chordal[number, note.pitch % 12] += weight
    heard = lines.sum(axis=0)
    alone = ((lines > 0).sum(axis=0) == 1) & (chordal == 0)
    coloured = lines[_colours(loop)].sum(axis=0) * alone
    return Evidence(units, heard, heard - (1 - LONE_COLOUR) * coloured, _bass(loop, units), tuple(map(tuple, struck)))


def melodic_factors(loop: Loop, part: LoopPart) -> dict[int, float]:
    """A factor for each onset of a part, by how its line comes and goes there and by where it starts."""
    tops, metre = part.tops, loop.metre
    steps = [0 < abs(b - a) <= STEP for (_, a), (_, b) in pairwise(tops)]
    factors = {}
    for index, (onset, _) in enumerate(tops):
        within = onset % metre.grid
        place = STRONG if within in metre.strong else ON_BEAT if within in metre.beats else OFF_BEAT
        before = steps[index - 1] if index else False
        after = steps[index] if index < len(steps) else False
        short = part.strokes[index][0].length <= loop.metre.slots_per_beat
        weak = short and within not in metre.strong and len(part.strokes[index]) == 1
        passing = PASSING if before and after else HALF_STEP if before or after else 1.0
        factors[onset] = place * passing if weak else place
    return factors


def bass_part(loop: Loop) -> LoopPart:
    """The part that lies lowest."""
    return min(loop.parts, key=lambda part: part.middle)


def _colours(loop: Loop) -> list[int]:
    """The parts whose own notes may be mere colour: sparse ones between a higher and a lower part."""
    order = sorted(range(len(loop.parts)), key=lambda index: loop.parts[index].middle)
    return [index for index in order[1:-1] if density_of(loop, loop.parts[index]) <= SPARSE]


def _weights(loop: Loop, units: tuple[Unit, ...], note: Note) -> list[tuple[int, float]]:
    """Units in which a note sounds, and its weight in each, in quarters."""
    quarters = float(loop.quarters_per_slot)
    length = units[0].end
    found = []
    for number in range(note.onset // length, min(len(units), -(-note.end // length))):
        unit = units[number]
        inside = min(note.end, unit.end) - max(note.onset, unit.start)
        found.append((number, inside * quarters + (ATTACK if note.onset >= unit.start else 0.0)))
    return found


def _bass(loop: Loop, units: tuple[Unit, ...]) -> numpy.ndarray:
    """The lowest note of the lowest part at the start of each unit: one weight of 1, at the first note in the unit
    less the later it comes; nothing where the part is silent."""
    import numpy

    weights = numpy.zeros((len(units), 12))
    part = bass_part(loop)
    for number, unit in enumerate(units):
        sounding = [note for note in part.notes if note.onset < unit.end and note.end > unit.start]
        if not sounding:
            continue
        first = min(max(note.onset, unit.start) for note in sounding)
        lowest = min(note.pitch for note in sounding if max(note.onset, unit.start) == first)
        weights[number, lowest % 12] = 1 - (first - unit.start) / (unit.end - unit.start)
    return weights if len(loop.parts) > 1 else ALONE * weights
