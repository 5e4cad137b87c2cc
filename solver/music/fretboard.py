"""The fretboard: where a pitch lies, what a hand at a position reaches, and what it can hold at once.

A place is (string, fret): string 1 is the highest-pitched, fret 0 is the open string (or the capo). A voicing is the
places of one struck chord, from its lowest note to its highest.

What a hand can hold is posed to python-constraint: one note a string, fretted notes within ``chord_span`` frets, four
fingers, of which the first may lie across several strings at its fret where no open string has to sound below it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations

from solver.music.enumeration import Rule, solutions
from solver.music.instruments import Instrument

FINGERS = 4
KEPT = 4096  # answers of each kind that are remembered: more than a brief asks for

Place = tuple[int, int]
Voicing = tuple[Place, ...]


@lru_cache(maxsize=KEPT)
def places(pitch: int, instrument: Instrument) -> tuple[Place, ...]:
    """Every place of a pitch (MIDI), from the highest-pitched string down; empty outside the instrument."""
    strings = enumerate(reversed(instrument.tuning), start=1)
    return tuple((string, pitch - open_) for string, open_ in strings if 0 <= pitch - open_ <= instrument.frets)


def pitch_at(place: Place, instrument: Instrument) -> int:
    """The pitch (MIDI) of a place."""
    string, fret = place
    return instrument.tuning[-string] + fret


def pitches_of(voicing: Voicing, instrument: Instrument) -> tuple[int, ...]:
    """The pitches (MIDI) of a voicing's places, in its order."""
    return tuple(pitch_at(place, instrument) for place in voicing)


def positions(instrument: Instrument) -> range:
    """The hand positions of a neck: the lowest fret under the hand, from 1 on."""
    return range(1, max(instrument.frets - instrument.hand_span + 1, 1) + 1)


@lru_cache(maxsize=KEPT)
def reach(instrument: Instrument, position: int) -> frozenset[int]:
    """Pitches (MIDI) a hand at a position plays without moving: ``hand_span`` frets of each string, open strings."""
    last = min(position + instrument.hand_span - 1, instrument.frets)
    frets = (0, *range(position, last + 1))
    return frozenset(open_ + fret for open_ in instrument.tuning for fret in frets)


def holds(pitches: Sequence[int], instrument: Instrument, *, neighbouring: bool = False) -> bool:
    """Whether a hand can hold these pitches at once, within ``chord_span`` frets."""
    return assign_strings(tuple(pitches), instrument, neighbouring=neighbouring) is not None


@lru_cache(maxsize=KEPT)
def assign_strings(
    pitches: tuple[int, ...], instrument: Instrument, span: int | None = None, *, neighbouring: bool = False
) -> Voicing | None:
    """A place for each pitch, in their order, so that a hand holds them at once; None where no hand can.

    Fretted notes lie within ``span`` frets (by default the instrument's ``chord_span``); ``neighbouring`` wants the
    strings side by side. Of several ways, the one nearest to the nut.
    """
    held = hand_shapes(pitches, instrument, span, neighbouring=neighbouring) if pitches else ((),)
    return min(held, key=_from_nut, default=None)


@lru_cache(maxsize=KEPT)
def hand_shapes(
    pitches: tuple[int, ...], instrument: Instrument, span: int | None = None, *, neighbouring: bool = False
) -> tuple[Voicing, ...]:
    """Every way to hold these pitches at once: a place for each, in their order. Arguments as of ``assign_strings``."""
    if not pitches or len(pitches) > len(instrument.tuning) or any(not places(pitch, instrument) for pitch in pitches):
        return ()
    domains = [places(pitch, instrument) for pitch in pitches]
    shapes = _shapes(domains, instrument, span or instrument.chord_span, distinct=False)
    return tuple(sorted(shape for shape in shapes if not neighbouring or _side_by_side(shape)))


def voicings(
    instrument: Instrument,
    tones: tuple[int, ...],
    low: int,
    high: int,
    size: tuple[int, int],
    *,
    neighbouring: bool = True,
    need: frozenset[int] = frozenset(),
) -> tuple[Voicing, ...]:
    """Every way to hold between ``size[0]`` and ``size[1]`` notes of a chord, sorted by pitch, then by place.

    ``tones`` and ``need`` are pitch classes: only tones sound, and all that are needed do. Pitches are distinct and lie
    between ``low`` and ``high`` (MIDI, inclusive). ``neighbouring`` wants the strings side by side.
    """
    wanted, needed = {tone % 12 for tone in tones}, {tone % 12 for tone in need}
    pitches = [pitch for pitch in range(low, high + 1) if pitch % 12 in wanted]
    everywhere = [place for pitch in pitches for place in places(pitch, instrument)]
    usable = {string: tuple(place for place in everywhere if place[0] == string) for string in _strings(instrument)}
    found: list[Voicing] = []
    for count in range(max(size[0], len(needed), 1), min(size[1], len(usable)) + 1):
        for strings in combinations(reversed(usable), count):
            if neighbouring and not _side_by_side(tuple((string, 0) for string in strings)):
                continue
            shapes = _shapes([usable[string] for string in strings], instrument, instrument.chord_span, distinct=True)
            found.extend(shape for shape in shapes if needed <= {pitch % 12 for pitch in pitches_of(shape, instrument)})
    rising = (tuple(sorted(shape, key=lambda place: pitch_at(place, instrument))) for shape in found)
    return tuple(sorted(rising, key=lambda voicing: (pitches_of(voicing, instrument), voicing)))


def _shapes(domains: list[tuple[Place, ...]], instrument: Instrument, span: int, distinct: bool) -> list[Voicing]:
    """All choices of one place from each domain that a hand can hold."""
    open_strings = (0, *reversed(instrument.tuning))

    def fit(one: Place, other: Place) -> bool:
        if one[0] == other[0] or (one[1] and other[1] and abs(one[1] - other[1]) >= span):
            return False
        return not distinct or open_strings[one[0]] + one[1] != open_strings[other[0]] + other[1]

    rules: list[Rule] = [(fit, pair) for pair in combinations(range(len(domains)), 2)]
    if len(domains) > FINGERS:
        rules.append((lambda *shape: fingers(shape) <= FINGERS, range(len(domains))))
    return solutions(domains, rules)


def fingers(shape: Voicing) -> int:
    """Fewest fingers for a shape; one may press several strings at a fret if no string between sounds lower."""
    count = 0
    pressing: list[int] = []  # frets of the fingers that may still reach the next string
    for _, fret in sorted(shape):
        while pressing and pressing[-1] > fret:
            pressing.pop()
        if fret and (not pressing or pressing[-1] != fret):
            pressing.append(fret)
            count += 1
    return count


def _strings(instrument: Instrument) -> range:
    return range(1, len(instrument.tuning) + 1)


def _from_nut(shape: Voicing) -> tuple[int, int, Voicing]:
    frets = [fret for _, fret in shape]
    return max(frets, default=0), sum(frets), shape


def _side_by_side(shape: Voicing) -> bool:
    strings = [string for string, _ in shape]
    return max(strings) - min(strings) == len(strings) - 1
