"""From a merit's count to points and to the total.

0 points is what random lines in the same slots reach (the median of a seeded sample), 100 the most that the merit's
definition allows. The total is the mean of the points by weight. It is counted in whole thousandths of a point, so that
the model's objective and the printed total are the very same number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from random import Random
from statistics import median_low

from solver.arrangement import Mark
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits import every_merit
from solver.merits.merit import Merit
from solver.rhythm.skeleton import NoteSlot, Skeleton, skeleton_from
from solver.rules import in_range, in_scale, voicings
from solver.search.notes import arrangement_from
from solver.search.state import State
from solver.search.states import candidate_states

UNIT = 1000  # parts of a point
SAMPLES = 21


@dataclass(frozen=True)
class Measured:
    """A merit on one skeleton: its count by chance and at best, and thousandths of total for each unit of count."""

    merit: Merit
    weight: int
    chance: int
    best: int
    step: int

    def points(self, count: int) -> float:
        """0 to 100; a count below chance is shown as 0, though the total counts what it lacks."""
        return max(0.0, min(100.0, 100 * (count - self.chance) / (self.best - self.chance)))

    def worth(self, count: int) -> int:
        """Thousandths of the total that a count is worth."""
        return self.step * (count - self.chance)


@dataclass(frozen=True)
class Scale:
    """All merits that apply to a plan, measured on one skeleton."""

    measured: tuple[Measured, ...]

    def total(self, counts: Mapping[str, int]) -> int:
        """The total in thousandths of a point."""
        return sum(entry.worth(counts[entry.merit.name]) for entry in self.measured)

    def marks(self, heard: Heard) -> tuple[Mark, ...]:
        """The merit card."""
        return tuple(
            Mark(
                entry.merit.name,
                round(entry.points(entry.merit.measure(heard)), 1),
                entry.weight,
                entry.merit.sentence(heard),
            )
            for entry in self.measured
        )

    def counts(self, heard: Heard) -> dict[str, int]:
        """Every merit's count."""
        return {entry.merit.name: entry.merit.measure(heard) for entry in self.measured}


def scale_for(plan: Plan, skeleton: Skeleton, weights: Mapping[str, int]) -> Scale:
    """Measure chance and best of every merit with a weight on a skeleton."""
    merits = [merit for merit in every_merit() if merit.applies(plan) and weights.get(merit.name, 0) > 0]
    sample = _random_pitches(plan, skeleton)
    rhythms = _random_rhythms(plan, skeleton)
    whole = sum(weights[merit.name] for merit in merits)
    measured = []
    for merit in merits:
        best = merit.best(sample[0])
        if merit.measure_rhythm is not None:
            chance = median_low([merit.measure_rhythm(plan, onsets) for onsets in rhythms])
        else:
            chance = median_low([merit.measure(heard) for heard in sample])
        # Where random lines reach the best, one unit short of it has no points.
        chance = min(chance, best - 1)
        step = max(1, round(100 * UNIT * weights[merit.name] / whole / (best - chance)))
        measured.append(Measured(merit, weights[merit.name], chance, best, step))
    return Scale(tuple(measured))


def _random_pitches(plan: Plan, skeleton: Skeleton) -> list[Heard]:
    """Arrangements whose slots take any state of the range and scale, repeats repeating."""
    random = Random("chance")
    plan = replace(plan, held=())  # chance is that of all notes, so that totals compare whatever is held
    choices = {part.name: _choices(plan, part, skeleton.slots[part.name]) for part in plan.parts}
    sample = []
    for _ in range(SAMPLES):
        states: dict[str, tuple[State, ...]] = {}
        for part in plan.parts:
            drawn = {home: random.choice(states_of) for home, states_of in choices[part.name].items()}
            states[part.name] = tuple(drawn[slot.home] for slot in skeleton.slots[part.name])
        sample.append(Heard(plan, arrangement_from(plan, skeleton, states)))
    return sample


def _choices(plan: Plan, part: PartPlan, slots: tuple[NoteSlot, ...]) -> dict[int, list[State]]:
    checks = [rule.allows_state for rule in (in_range.RULE, in_scale.RULE, voicings.RULE) if rule.allows_state]
    found: dict[int, list[State]] = {}
    by_span: dict[int, list[State]] = {}
    for slot in slots:
        if slot.home in found:
            continue
        span = plan.span_at(slot.onset)
        if span.index not in by_span:
            # Where the hand finds no chord in the range, as under one that is held from elsewhere, its pitches count.
            every = candidate_states(plan, part, slot.onset) or [State((p,)) for p in range(part.low, part.high + 1)]
            by_span[span.index] = [
                s for s in every if all(check(plan, part, slot.onset, s) for check in checks)
            ] or list(every)
        found[slot.home] = by_span[span.index]
    return found


def _random_rhythms(plan: Plan, skeleton: Skeleton) -> list[dict[str, tuple[int, ...]]]:
    """As many onsets a part as the skeleton has, anywhere."""
    random = Random("chance")
    return [
        {name: tuple(sorted(random.sample(range(plan.slots), len(onsets)))) for name, onsets in skeleton.onsets.items()}
        for _ in range(SAMPLES)
    ]


def scale_of(plan: Plan, heard: Heard, weights: Mapping[str, int]) -> Scale:
    """The scale of a finished arrangement's own rhythm."""
    return scale_for(plan, skeleton_from(plan, heard.onsets), weights)
