"""How stretches of time within a bar are written: note values, dots, ties between them, tuplets.

Times are slots from the bar's start. A beat here is a note of the metre's denominator. A beat whose strokes do not
fall on halves, quarters, … of it is written as one tuplet; everything else in plain values, split so that no value
hides a stronger slot inside it, except the usual syncopation around its middle (common practice of engraving, see
Gould 2011, Behind Bars, ch. 6, from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import gcd

from solver.music.metre import Metre

# Length in quarters, and the name in MusicXML.
NAMES = {
    Fraction(4): "whole",
    Fraction(2): "half",
    Fraction(1): "quarter",
    Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd",
    Fraction(1, 16): "64th",
    Fraction(1, 32): "128th",
}
DOTTED = {Fraction(3, 2) * length: name for length, name in NAMES.items()}


@dataclass(frozen=True)
class Tuplet:
    """``actual`` values of the name ``unit`` in the time of ``normal``, from slot ``start`` to ``end`` of the bar."""

    actual: int
    normal: int
    unit: str
    start: int
    end: int


@dataclass(frozen=True)
class Value:
    """One written note or rest: slots ``start`` to ``end``, its name, dots, and the tuplet it lies in."""

    start: int
    end: int
    name: str
    dots: int
    tuplet: Tuplet | None = None


def tuplets_in(metre: Metre, cuts: Iterable[int]) -> tuple[Tuplet, ...]:
    """The beats of a bar that are tuplets, where something begins or ends at the slots ``cuts``."""
    size = metre.slots_per_beat
    found = []
    for start in range(0, metre.grid, size):
        inside = [cut - start for cut in cuts if start < cut < start + size]
        actual = size // gcd(size, *inside) if inside else 1
        normal = 1 << (actual.bit_length() - 1)
        if actual != normal:
            found.append(Tuplet(actual, normal, NAMES[Fraction(4, metre.denominator * normal)], start, start + size))
    return tuple(found)


def values_of(metre: Metre, start: int, end: int, tuplets: tuple[Tuplet, ...], *, rest: bool = False) -> list[Value]:
    """The values that together last from one slot of a bar to another; a note's are tied."""
    edges = {start, end, *(edge for tuplet in tuplets for edge in (tuplet.start, tuplet.end) if start < edge < end)}
    found: list[Value] = []
    for low, high in pairwise(sorted(edges)):
        inside = next((tuplet for tuplet in tuplets if tuplet.start <= low < tuplet.end), None)
        found += _plain(metre, low, high, rest) if inside is None else _in_tuplet(metre, low, high, inside)
    return found


def _plain(metre: Metre, start: int, end: int, rest: bool) -> list[Value]:
    name, dots = _named(_quarters(metre, end - start))
    if name and _is_readable(metre, start, end, dots, rest):
        return [Value(start, end, name, dots)]
    strongest = min(metre.level(slot) for slot in range(start + 1, end))
    cuts = [slot for slot in range(start + 1, end) if metre.level(slot) == strongest]
    cut = next((slot for slot in reversed(cuts) if _is_one(metre, start, slot, rest)), cuts[0])
    return _plain(metre, start, cut, rest) + _plain(metre, cut, end, rest)


def _is_one(metre: Metre, start: int, end: int, rest: bool) -> bool:
    """Whether one plain value lasts from start to end and can be read there."""
    name, dots = _named(_quarters(metre, end - start))
    return bool(name) and _is_readable(metre, start, end, dots, rest)


def _is_readable(metre: Metre, start: int, end: int, dots: int, rest: bool) -> bool:
    """Whether a value leaves the bar's beats to be seen."""
    inside = range(start + 1, end)
    if metre.is_compound and any(slot in metre.beats for slot in inside):
        return start in metre.beats and end % metre.grid in metre.beats
    strongest = min((metre.level(slot) for slot in inside), default=metre.level(start))
    within_a_beat = start // metre.slots_per_beat == (end - 1) // metre.slots_per_beat
    if strongest >= metre.level(start) or within_a_beat:
        return True
    middle = (start + end) // 2
    around_its_middle = (start + end) % 2 == 0 and metre.level(middle) == strongest == metre.level(start) - 1
    alone = sum(metre.level(slot) == strongest for slot in inside) == 1
    return around_its_middle and alone and not dots and not rest


def _in_tuplet(metre: Metre, start: int, end: int, tuplet: Tuplet) -> list[Value]:
    """Values of a tuplet, the longest first where one does not do."""
    slots = (tuplet.end - tuplet.start) // tuplet.actual
    unit = next(length for length, name in NAMES.items() if name == tuplet.unit)
    found: list[Value] = []
    while start < end:
        units = next(units for units in range((end - start) // slots, 0, -1) if _named(units * unit)[0])
        name, dots = _named(units * unit)
        found.append(Value(start, start + units * slots, name, dots, tuplet))
        start += units * slots
    return found


def _quarters(metre: Metre, slots: int) -> Fraction:
    return slots * metre.quarters_per_bar / metre.grid


def _named(quarters: Fraction) -> tuple[str, int]:
    """Name and dots of a length in quarters; an empty name where no single value lasts that long."""
    if quarters in NAMES:
        return NAMES[quarters], 0
    return (DOTTED[quarters], 1) if quarters in DOTTED else ("", 0)
