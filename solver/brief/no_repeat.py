"""What is said of a part that would repeat by default and cannot, though nobody asked for that."""

from __future__ import annotations

from fractions import Fraction

from solver.brief.timing import LEAST_TIMES, REPEAT_BARS, USUAL_CHORD_BARS, default_repeat


def unasked(name: str, bars: int, lengths: tuple[Fraction, ...]) -> str | None:
    """Why a part gets no repeat by default in a loop of so many bars, and which keys would let it repeat.

    ``lengths`` are the bars that each chord of one pass lasts. None where it repeats, or where no such key would help.
    """
    unit = sum(lengths, Fraction(0))
    if len(lengths) == 1 or default_repeat(bars, unit):
        return None
    helps = []
    if len(set(lengths)) == 1:
        shorter = (length for length in USUAL_CHORD_BARS if length < lengths[0])
        right = next((length for length in shorter if default_repeat(bars, Fraction(length * len(lengths)))), None)
        helps += [f"chord_bars = {right}"] if right else []
    if unit.denominator == 1 and bars % unit == 0 and bars >= LEAST_TIMES * unit:
        helps.append(f"repeat_every = {unit}")
    if not helps:
        return None
    last = f"a pass through the chords takes {float(unit):g} bars"
    if unit > REPEAT_BARS.start:
        why = f"{last}, and a repeat at most {REPEAT_BARS.start}"
    else:
        why = f"{last}, and no multiple of it up to {REPEAT_BARS.start} fits the {bars} bars twice"
    return f"{name} does not repeat: {why}; {' or '.join(helps)} would let it"
