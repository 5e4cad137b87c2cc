"""From times in quarters to bars and slots: the metre, the grid that fits the onsets, where a loop begins and ends."""

from __future__ import annotations

from fractions import Fraction
from math import floor

from solver.arrangement import Note
from solver.music.metre import DEFAULT_GRIDS, TICKS_PER_QUARTER, Metre
from solver.study.errors import Unreadable
from solver.study.loop import Loop, LoopPart
from solver.study.reference import Reference, Tone, Voice

USUAL_METRE = (4, 4)  # where a file gives none (Standard MIDI Files 1.0)
SAME_BARS = {(2, 2): (4, 4), (4, 8): (2, 4), (8, 8): (4, 4), (6, 4): (12, 8)}  # metres that briefs write otherwise
EXACT = 0.02  # quarters by which an onset may miss a slot and still be on it
NEARLY_ALL = 0.95  # share of onsets that have to be on slots for a grid to be the one that was meant
CLOSE = 0.03  # quarters by which played onsets may miss a grid on average: about 15 ms at 120 quarters a minute
ROUGH = 0.15  # share of a slot by which onsets that fall anywhere would miss any grid at least (0.25 on average)
OVERHANG = Fraction(1, 4)  # of a bar: how much of one a last note has to lack to fill it
MOST_BARS = 1000
FINEST = 60  # ticks a slot: nothing finer than a thirty-second


def loop_of(reference: Reference) -> Loop:
    """The reference on a grid, without silent bars before its first note. Raises Unreadable."""
    remarks = list(reference.remarks)
    numerator, denominator = _metre(reference, remarks)
    bar = Fraction(4 * numerator, denominator)
    voices = _from_first_bar(reference.voices, bar, remarks)
    shift = reference.voices[0].tones[0].start - voices[0].tones[0].start
    starts = [tone.start for voice in voices for tone in voice.tones]
    metre = _fitting(numerator, denominator, starts)
    bars = _bars(voices, bar, reference.end - shift)
    if bars > MOST_BARS:
        raise Unreadable(f"the notes span {bars} bars", f"give a loop or a song of at most {MOST_BARS} bars")
    parts = tuple(_part(str(index), voice, metre, bars) for index, voice in enumerate(voices, start=1))
    return Loop(metre, bars, reference.tempo, parts, tuple(remarks))


def grids(numerator: int, denominator: int) -> list[Metre]:
    """Grids to try: the bar's sixteenths (the usual one) first, then triplets, then finer ones."""
    usual = DEFAULT_GRIDS.get((numerator, denominator)) or max(numerator, 16 * numerator // denominator)
    ticks = Fraction(4 * numerator, denominator) * TICKS_PER_QUARTER
    found = []
    for factor in (Fraction(1), Fraction(3, 4), Fraction(3, 2), Fraction(2)):
        grid = usual * factor
        whole = grid.denominator == 1 and grid % numerator == 0 and (ticks / grid).denominator == 1
        if whole and ticks / grid >= FINEST:
            found.append(Metre(numerator, denominator, int(grid)))
    return found or [Metre(numerator, denominator, usual)]


def mean_miss(starts: list[Fraction], metre: Metre) -> float:
    """By how many quarters onsets miss the grid on average."""
    return sum(_misses(starts, metre)) / len(starts)


def _misses(starts: list[Fraction], metre: Metre) -> list[float]:
    slot = metre.quarters_per_bar / metre.grid
    return [float(abs(start - slot * _nearest(start / slot))) for start in starts]


def _share_of_slot(starts: list[Fraction], metre: Metre) -> float:
    return mean_miss(starts, metre) * metre.grid / float(metre.quarters_per_bar)


def _metre(reference: Reference, remarks: list[str]) -> tuple[int, int]:
    given = reference.metre
    if given is None:
        remarks.append("The file gives no metre; its bars are counted in 4/4.")
        return USUAL_METRE
    if given in SAME_BARS:
        meant = SAME_BARS[given]
        remarks.append(f"The metre {given[0]}/{given[1]} is counted as {meant[0]}/{meant[1]}.")
        return meant
    if not (1 <= given[0] <= 32 and given[1] in (1, 2, 4, 8, 16, 32)):
        remarks.append(f"The metre {given[0]}/{given[1]} makes no sense here; the bars are counted in 4/4.")
        return USUAL_METRE
    return given


def _fitting(numerator: int, denominator: int, starts: list[Fraction]) -> Metre:
    """The first grid on which the onsets lie, or, where they are played freely, the one that they miss least by far."""
    choices = grids(numerator, denominator)
    for metre in choices:
        if sum(miss <= EXACT for miss in _misses(starts, metre)) >= NEARLY_ALL * len(starts):
            return metre
    if mean_miss(starts, choices[0]) <= CLOSE:
        return choices[0]
    best = min(choices, key=lambda metre: _share_of_slot(starts, metre))
    return best if _share_of_slot(starts, best) <= ROUGH else choices[0]


def _from_first_bar(voices: tuple[Voice, ...], bar: Fraction, remarks: list[str]) -> tuple[Voice, ...]:
    """The voices with time 0 at the bar line of the first bar that sounds."""
    voices = tuple(voice for voice in voices if voice.tones)
    silent = silent_bars(voices, bar)
    if silent > 0:
        remarks.append(f"{silent} silent bars before the first note are left out; bar 1 is the first that sounds.")
    elif silent < 0:
        remarks.append("The upbeat is counted as bar 1.")
    return tuple(_moved(voice, -silent * bar) for voice in voices) if silent else voices


def silent_bars(voices: tuple[Voice, ...], bar: Fraction) -> int:
    """Bars (lengths in quarters) from time 0 to the one that sounds first; below 0 where an upbeat comes before it."""
    first = min(voice.tones[0].start for voice in voices)
    return floor(first / bar + Fraction(1, 64))  # a note may be played a little early


def _moved(voice: Voice, by: Fraction) -> Voice:
    return Voice(voice.name, tuple(Tone(t.start + by, t.end + by, t.pitch) for t in voice.tones), voice.program)


def _bars(voices: tuple[Voice, ...], bar: Fraction, end: Fraction) -> int:
    """Bars of the loop: up to the bar of the last onset, or as far as its last notes fill whole bars.

    A file that goes on in silence to a multiple of four bars (of two, from an odd number) is meant as that long.
    """
    tones = [tone for voice in voices for tone in voice.tones]
    last = max(tone.start for tone in tones)
    bars = max(floor(last / bar + Fraction(1, 64)) + 1, floor(max(tone.end for tone in tones) / bar + OVERHANG))
    for unit in (2, 4):
        if end == (bars + 1) * bar and (bars + 1) % unit == 0:
            return bars + 1
    return bars


def _part(name: str, voice: Voice, metre: Metre, bars: int) -> LoopPart:
    """The notes in the nearest slots; one pitch sounds once at a time."""
    slot = metre.quarters_per_bar / metre.grid
    slots = bars * metre.grid
    ends: dict[tuple[int, int], int] = {}
    for tone in voice.tones:
        onset = min(max(_nearest(tone.start / slot), 0), slots - 1)
        end = min(max(_nearest(tone.end / slot), onset + 1), slots)
        ends[onset, tone.pitch] = max(end, ends.get((onset, tone.pitch), 0))
    notes: list[Note] = []
    following: dict[int, int] = {}
    for onset, pitch in sorted(ends, reverse=True):
        end = min(ends[onset, pitch], following.get(pitch, slots))
        notes.append(Note(name, onset, end - onset, pitch))
        following[pitch] = onset
    return LoopPart(name, tuple(sorted(notes, key=lambda n: (n.onset, n.pitch))), voice.program, voice.name)


def _nearest(slots: Fraction) -> int:
    return floor(slots + Fraction(1, 2))
