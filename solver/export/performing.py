"""An arrangement as it is played: when each note starts and ends, and how hard it is struck.

Times are in slots from the loop's start, as real numbers. No note starts more than LIMIT of a slot from its place
(swing apart, which a reader of the file can undo), so that every note is found in its own slot again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.arrangement import Arrangement, Note
from solver.brief.feel import ALTERNATE, UP, Feel
from solver.brief.plan import PartPlan, Plan
from solver.export.lengths import SHORTEST, Stroke, held_until
from solver.export.swing import swing_of
from solver.export.velocity import chance, velocities

LIMIT = 0.22  # of a slot; midi_reading finds a quarter of a slot worth a remark, ticks rounded
FEWEST_STRUMMED = 3  # notes; two are played at once
UPSTROKE = 4  # less velocity than a stroke down


@dataclass(frozen=True)
class Played:
    """One note as played. ``start`` may lie before the loop's start, ``end`` after its end."""

    note: Note
    start: float
    end: float
    velocity: int


def performed(plan: Plan, arrangement: Arrangement, feel: Feel) -> dict[str, list[Played]]:
    """Every part of the plan as played with a feel, in order of the written notes. Equal input, equal output."""
    struck = velocities(plan, arrangement, feel)
    ends = held_until(plan, arrangement, feel)
    swing = swing_of(feel, plan.metre)
    found: dict[str, list[Played]] = {}
    for part in plan.parts:
        found[part.name] = []
        for stroke in arrangement.strokes(part.name):
            starts, softer = _starts(plan, part, stroke, feel)
            for note, start in zip(stroke, starts, strict=True):
                end = max(ends[note], start + SHORTEST)
                velocity = max(struck[note] - softer, 1)
                found[part.name].append(Played(note, swing.swung(start), swing.swung(end), velocity))
    return found


def _starts(plan: Plan, part: PartPlan, stroke: Stroke, feel: Feel) -> tuple[list[float], int]:
    """When the notes of a stroke start, before swing, and how much softer the stroke is for its direction."""
    onset = stroke[0].onset
    slot = 60_000 / plan.tempo * float(plan.metre.quarters_per_bar) / plan.metre.grid  # milliseconds
    late = feel.drag.get(part.role, 0.0) + feel.spread * chance(plan, part.name, "spread", onset)
    base = onset + min(max(late / slot, -LIMIT), LIMIT)
    if len(stroke) < FEWEST_STRUMMED or part.rings or not feel.strum:
        return [base] * len(stroke), 0
    between_beats = onset % plan.metre.grid not in plan.metre.beats
    up = feel.strum_direction == UP or (feel.strum_direction == ALTERNATE and between_beats)
    step = min(feel.strum / slot, (onset + LIMIT - base) / (len(stroke) - 1))
    order: Sequence[int] = range(len(stroke))
    return [base + step * place for place in (order[::-1] if up else order)], UPSTROKE if up else 0
