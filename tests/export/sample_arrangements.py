"""Seeded random-walk arrangements for tests of the exports: musical enough to look at, made without the search."""

from __future__ import annotations

import random

from solver.arrangement import Arrangement, Mark, Note, Ranked
from solver.brief.plan import PartPlan, Plan

DENSITY = {"lead": 5, "low": 3, "background": 2, "chords": 3, "counter": 4}
SENTENCES = (
    "Most intervals are small, and leaps turn back.",
    "The low part walks down by step from B to E.",
    "The lead starts off the beat three times in each statement, near the aim of two to four.",
    "Lead and low part move against each other at most bar starts.",
)


def sample_arrangement(plan: Plan, seed: int = 1) -> Arrangement:
    """Notes for every part of the plan: cells that repeat as the plan asks, walks over chord and scale tones."""
    notes: list[Note] = []
    for part in plan.parts:
        notes += _part_notes(plan, part, random.Random(f"{seed} {part.name}"))
    return Arrangement(tuple(notes))


def sample_ranked(plan: Plan, count: int = 3) -> list[Ranked]:
    """Ranked sample arrangements, best first, with invented marks."""
    found = []
    for index in range(count):
        marks = tuple(
            Mark(name, max(0.0, 97.5 - 13 * at - 3 * index), 10 - at, sentence)
            for at, (name, sentence) in enumerate(
                zip(("small steps", "bass walks", "syncopation", "contrary motion"), SENTENCES, strict=True)
            )
        )
        total = 91.25 - 2.5 * index
        bound = total if index % 2 == 0 else total + 1.5
        summary = f"the lead turns up at the end; the low part walks down ({index + 1})"
        found.append(Ranked(sample_arrangement(plan, index + 1), total, bound, index % 2 == 0, marks, summary))
    return found


def _part_notes(plan: Plan, part: PartPlan, dice: random.Random) -> list[Note]:
    """One statement (or the whole loop), then its copies with the last bar of the last one varied."""
    statement = plan.slots if part.repeat_every is None else part.repeat_every * plan.metre.grid
    cells = [_cell(plan, part, dice) for _ in range(2)]
    first: list[Note] = []
    at = (part.low + part.high) // 2
    for bar in range(statement // plan.metre.grid):
        onsets = cells[bar % 2]
        for index, slot in enumerate(onsets):
            onset = bar * plan.metre.grid + slot
            gap = (onsets[index + 1] if index + 1 < len(onsets) else plan.metre.grid) - slot
            length = max(1, min(gap - dice.choice((0, 0, 1, 2)), part.longest))
            at = _next_pitch(plan, part, onset, at, dice)
            first += [Note(part.name, onset, length, pitch) for pitch in _stack(plan, part, onset, at, dice)]
    copies = [
        Note(note.part, note.onset + start, note.length, note.pitch)
        for start in range(0, plan.slots, statement)
        for note in first
    ]
    if statement == plan.slots:
        return copies
    tail = plan.slots - plan.metre.grid
    varied = [note for note in copies if note.onset >= tail][-1:]
    return [note for note in copies if note not in varied] + [
        Note(note.part, note.onset, note.length, _other(plan, part, note)) for note in varied
    ]


def _cell(plan: Plan, part: PartPlan, dice: random.Random) -> list[int]:
    size = min(DENSITY[part.role] + dice.choice((-1, 0, 1)), plan.metre.grid)
    beat = plan.metre.slots_per_beat
    candidates = list(range(0, plan.metre.grid, max(1, beat // 2)))
    onsets = set(dice.sample(candidates, min(max(size, 1), len(candidates))))
    if part.role in ("low", "chords"):
        onsets.add(0)
    return sorted(onsets)


def _next_pitch(plan: Plan, part: PartPlan, slot: int, at: int, dice: random.Random) -> int:
    span = plan.span_at(slot)
    strong = slot % plan.metre.grid in plan.metre.strong
    allowed = span.chord.pcs if strong or dice.random() < 0.7 else span.scale
    near = [pitch for pitch in range(max(part.low, at - 7), min(part.high, at + 7) + 1) if pitch % 12 in allowed]
    others = [pitch for pitch in near if pitch != at] or near or [at]
    return dice.choice(sorted(others, key=lambda pitch: abs(pitch - at))[:4])


def _stack(plan: Plan, part: PartPlan, slot: int, at: int, dice: random.Random) -> list[int]:
    """The pitches of one stroke: one, two for dyads, three or four for chords."""
    size = {"dyads": 2, "chords": dice.choice((3, 4))}.get(part.texture, 1)
    tones = [pitch for pitch in range(part.low, at) if pitch % 12 in plan.span_at(slot).chord.pcs]
    return sorted({at, *tones[len(tones) - size + 1 :]}) if size > 1 else [at]


def _other(plan: Plan, part: PartPlan, note: Note) -> int:
    scale = plan.span_at(note.onset).scale
    above = [pitch for pitch in range(note.pitch + 1, part.high + 1) if pitch % 12 in scale]
    return above[0] if above else note.pitch - 12
