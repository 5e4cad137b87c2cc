"""How long chords last and when parts repeat.

A pass is once through the list of chords; a chord span is the time one chord lasts. Chords start on whole slots.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from solver.brief.findings import Findings
from solver.brief.places import KeyPath
from solver.brief.plan import ChordSpan
from solver.music.chords import Chord
from solver.music.metre import Metre
from solver.music.scales import Key, scale_under_chord

if TYPE_CHECKING:
    from solver.brief.schema import Brief

USUAL_CHORD_BARS = (4, 2, 1)
REPEAT_BARS = range(8, 1, -1)  # bars that a statement lasts by default, the longest first
LEAST_TIMES = 2  # times that a pass or a statement has to fit into the loop to be a default
SLACK = 0.05  # slots by which a length may miss a whole slot: 0.33 of a bar with twelve slots is meant as a third
TIMING_KEYS: tuple[KeyPath, ...] = (("bars",), ("meter",), ("grid",), ("chords",), ("chord_bars",))


def default_repeat(bars: int, unit: Fraction) -> int | None:
    """Bars of a statement: the largest multiple of ``unit`` bars from 2 to 8 that fits the loop twice or more."""
    for repeat in REPEAT_BARS:
        if bars % repeat == 0 and bars // repeat >= LEAST_TIMES and repeat % unit == 0:
            return repeat
    return None


def default_chord_bars(chords: int, bars: int) -> Fraction:
    """Bars that each of several chords lasts where the brief does not say."""
    for length in USUAL_CHORD_BARS:
        if bars % (chords * length) == 0 and bars // (chords * length) >= LEAST_TIMES:
            return Fraction(length)
    return Fraction(bars, chords)


def chord_lengths(brief: Brief, metre: Metre, statement: int, findings: Findings) -> tuple[int, ...]:
    """Slots that each chord of one pass lasts. ``statement`` is the bars a single chord lasts by default.

    What cannot be is reported, and lengths that fit the loop stand in for it.
    """
    chords, given = len(brief.chords), brief.chord_bars
    if given is None:
        length = (Fraction(statement) if chords == 1 else default_chord_bars(chords, brief.bars)) * metre.grid
        if length.denominator == 1:
            return (int(length),) * chords
        wrong = f"{chords} chords do not share {brief.bars} bars evenly"
        findings.report(("chords",), wrong, _asked(chords), reads=TIMING_KEYS)
        return _stand_in(brief, metre)
    return _given_lengths(brief, given, metre, findings)


def chord_spans(lengths: tuple[int, ...], slots: int, chords: tuple[Chord, ...], key: Key) -> tuple[ChordSpan, ...]:
    """The chord spans of a loop of so many slots: the list again and again, cut off where the loop ends.

    ``index`` is the place in the result, ``pass_index`` counts the passes; both from 0.
    """
    spans: list[ChordSpan] = []
    start = 0
    while start < slots:
        passes, number = divmod(len(spans), len(lengths))
        end = min(start + lengths[number], slots)
        chord = chords[number]
        spans.append(ChordSpan(len(spans), start, end, chord, scale_under_chord(key, chord), passes))
        start = end
    return tuple(spans)


def repeat_unit(lengths: tuple[int, ...], metre: Metre) -> Fraction:
    """Bars of which a default repeat is a multiple: a pass, or one bar where there is a single chord."""
    return Fraction(1) if len(lengths) == 1 else Fraction(sum(lengths), metre.grid)


def _given_lengths(brief: Brief, given: float | list[float], metre: Metre, findings: Findings) -> tuple[int, ...]:
    path: KeyPath = ("chord_bars",)
    chords = len(brief.chords)
    values = given if isinstance(given, list) else [given] * chords
    if len(values) != chords:
        wrong = f"chord_bars has {len(values)} entries for {_counted(chords, 'chord')}"
        findings.report(path, wrong, _asked(chords), reads=TIMING_KEYS)
        return _stand_in(brief, metre)
    lengths = tuple(round(value * metre.grid) for value in values)
    for index, (value, length) in enumerate(zip(values, lengths, strict=True)):
        if length == 0 or abs(value * metre.grid - length) > SLACK:
            wrong = f"a chord of {value:g} bars does not end on a slot: a bar of {metre.name} has {metre.grid} here"
            where = (*path, index) if isinstance(given, list) else path
            findings.report(where, wrong, f"use multiples of {_shortest(metre)}", reads=TIMING_KEYS)
            return _stand_in(brief, metre)
    if sum(lengths) > brief.bars * metre.grid:
        wrong = f"the chords last {sum(lengths) / metre.grid:g} bars, the loop {brief.bars}"
        findings.report(path, wrong, "shorten the chords or raise bars", reads=TIMING_KEYS)
        return _stand_in(brief, metre)
    return lengths


def _stand_in(brief: Brief, metre: Metre) -> tuple[int, ...]:
    """Lengths that let the other checks go on."""
    return (max(1, brief.bars * metre.grid // len(brief.chords)),) * len(brief.chords)


def _shortest(metre: Metre) -> str:
    """One slot in bars, as a brief would write it."""
    return f"{1 / metre.grid:.4g}"


def _asked(chords: int) -> str:
    example = "chord_bars = 4" if chords == 1 else f"chord_bars = [{', '.join(['2'] * chords)}]"
    if chords > 6:
        example = "chord_bars = 1"
    return f"give chord_bars, one number for all or one for each of the {_counted(chords, 'chord')}, as in {example}"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
