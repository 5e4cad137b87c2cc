"""Plans for tests of the score: the sample briefs, and every metre with grids that bring tuplets."""

from __future__ import annotations

from functools import cache

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.export.fingering import fingering
from tests.export.sample_plans import TEXTS, sample_plan

METRES = {
    "triplets": ("4/4", 12),
    "sextuplets": ("4/4", 24),
    "quintuplets": ("4/4", 20),
    "five": ("5/4", 20),
    "six-eight": ("6/8", 12),
    "six-eight-triplets": ("6/8", 18),
    "seven": ("7/8", 14),
    "twelve": ("12/8", 24),
    "two": ("2/4", 8),
}
PLANS = (*TEXTS, *METRES, "capo")

BRIEF = """
title = "Tide <table> & \\"clock\\""
key = "{key}"
tempo = 92.5
meter = "{meter}"
grid = {grid}
bars = 4
chords = ["Am", "Bb/D", "E7", "Ebm7b5"]
chord_bars = [1, 0.5, 1.5, 1]

[parts.lead]
role = "lead"
instrument = "nylon guitar"

[parts.strum]
role = "chords"

[parts.low]
role = "low"
instrument = "bass guitar"
"""

CAPO = """
title = "Harbour steps"
key = "Eb minor"
bars = 2
chords = ["Ebm", "Cb"]

[parts.lead]
role = "lead"
capo = 3

[parts.low]
role = "low"
instrument = "seven-string guitar"
tuning = ["A1", "D2", "G2", "C3", "F3", "A3", "D4"]
"""


@cache
def plan_of(name: str) -> Plan:
    """The plan of one of the names."""
    if name in TEXTS:
        return sample_plan(name)
    if name == "capo":
        return plan_from_text(CAPO, name)
    meter, grid = METRES[name]
    halves = "[1, 1, 1, 1]" if grid % 2 or meter in ("5/4", "7/8") else "[1, 0.5, 1.5, 1]"
    text = BRIEF.format(key="F# minor" if grid % 3 else "A minor", meter=meter, grid=grid)
    return plan_from_text(text.replace("[1, 0.5, 1.5, 1]", halves), name)


def cut(plan: Plan, arrangement: Arrangement) -> list[tuple[Note, int]]:
    """Each note with the slot in which its written length ends: at its part's next stroke at the latest."""
    found = []
    for part in plan.parts:
        strokes = arrangement.strokes(part.name)
        nexts = [stroke[0].onset for stroke in strokes[1:]] + [plan.slots]
        for stroke, following in zip(strokes, nexts, strict=True):
            end = min(max(note.end for note in stroke), following)
            found += [(note, end) for note in stroke]
    return found


def playable(plan: Plan, arrangement: Arrangement) -> Arrangement:
    """The arrangement without the notes for which there are not enough strings."""
    places = [fingering(plan, part, arrangement.part(part.name)).places for part in plan.parts]
    return Arrangement(tuple(note for found in places for note in found))
