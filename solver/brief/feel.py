"""How a loop is played: what ``[feel]`` in a brief comes to, with defaults that sound played.

Feel moves notes by less than half a slot, shapes how hard they are struck and how long they sound. It never changes
which notes there are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from solver.brief.findings import Findings
from solver.music.metre import Metre

if TYPE_CHECKING:
    from solver.brief.schema import Brief

EIGHTHS, SIXTEENTHS = "8ths", "16ths"
PAIRS = {EIGHTHS: Fraction(1), SIXTEENTHS: Fraction(1, 2)}  # quarters that two of them last together
WRITTEN, TENUTO, MUTED, RING = "written", "tenuto", "muted", "ring"
DOWN, UP, ALTERNATE = "down", "up", "alternate"
# Swing by tempo (Friberg and Sundström 1997, Preferred swing ratio in jazz as a function of tempo, TMH-QPSR 38(4),
# abstract): up to 3.5 to 1 at slow tempi, even when fast; the short note lasts some 100 ms at medium and fast ones.
LARGEST_SWING = 3.5
SHORT_NOTE = 0.1  # seconds
# Milliseconds behind the beat by role (settings of our own): the tune first, what fills a little behind it. That a
# melody leads by some milliseconds is known of keyboard players (Palmer 1996, Music Perception 14(1), from memory).
DRAG = {"lead": 0.0, "counter": 5.0, "background": 8.0, "chords": 4.0, "low": 2.0}


@dataclass(frozen=True)
class Feel:
    """``swing`` is the first of two notes to the second, which last ``pair`` quarters together.

    ``drag`` and ``lengths`` are by role; ``drag`` (behind the beat), ``spread`` (chance, each way) and ``strum`` (from
    string to string) in milliseconds. ``accent`` and ``phrase`` are factors of velocity by metrical weight and by
    place in the phrase; ``touch`` is chance in velocity. ``asked`` says that the brief itself speaks of feel.
    """

    swing: float = 1.0
    pair: Fraction = PAIRS[EIGHTHS]
    drag: Mapping[str, float] = field(default_factory=lambda: dict(DRAG))
    accent: float = 1.0
    phrase: float = 1.0
    spread: float = 4.0
    touch: float = 3.0
    strum: float = 7.0
    strum_direction: str = ALTERNATE
    lengths: Mapping[str, str] = field(default_factory=dict)
    asked: bool = False
    exact: bool = False  # no hand at all: the grid as it is


PLAYED = Feel()
GRID = Feel(drag={}, phrase=0.0, spread=0.0, touch=0.0, strum=0.0, asked=True, exact=True)


def feel_of(brief: Brief, metre: Metre, findings: Findings) -> Feel:
    """The feel of a brief. What cannot be with its metre and grid is reported."""
    if brief.feel is None:
        return PLAYED
    if isinstance(brief.feel, str):
        return GRID
    table = brief.feel
    swing = swing_at(brief.tempo, metre) if isinstance(table.swing, str) else table.swing
    swing_on = table.swing_on or (EIGHTHS if metre.denominator == 4 else SIXTEENTHS)
    if swing != 1:
        _check_swing(swing_on, metre, findings)
    return Feel(
        swing=swing,
        pair=PAIRS[swing_on],
        drag={**DRAG, **table.drag},
        accent=table.accent,
        phrase=table.phrase,
        spread=table.spread,
        touch=table.touch,
        strum=table.strum,
        strum_direction=table.strum_direction,
        lengths=table.lengths,
        asked=True,
    )


def swing_at(tempo: float, metre: Metre) -> float:
    """The published ratio of swung eighths (in metres counted in eighths, of sixteenths) at a tempo in quarters."""
    beat = 60 / tempo * 4 / metre.denominator
    return min(max((beat - SHORT_NOTE) / SHORT_NOTE, 1.0), LARGEST_SWING)


def _check_swing(swing_on: str, metre: Metre, findings: Findings) -> None:
    """Swing needs pairs that fill the bar and whose middle is a slot."""
    slots = PAIRS[swing_on] * metre.grid / metre.quarters_per_bar
    at, reads = ("feel", "swing_on"), [("meter",), ("grid",)]
    if metre.denominator == 8 and swing_on == EIGHTHS:
        findings.report(at, f"pairs of eighths do not follow the beats of {metre.name}", 'write "16ths"', reads=reads)
    elif slots.denominator != 1 or slots % 2:
        wrong = f"a bar of {metre.grid} slots has no {swing_on} to swing"
        findings.report(at, wrong, "change grid, or leave swing out", reads=reads)
