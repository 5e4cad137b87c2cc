"""From a merit's count to points and to the total.

0 points is what random lines in the same slots reach (the median of a seeded sample), 100 the most that the merit's
definition allows. The total is the mean of the points by weight. It is counted in whole thousandths of a point, so that
the model's objective and the printed total are the very same number.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random
from statistics import median_low

from solver.arrangement import Mark
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits import every_merit
from solver.merits.merit import Merit
from solver.rhythm.skeleton import NoteSlot, Onsets, Skeleton, skeleton_from
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
    merits = merits_of(plan, weights)
    sample = _random_pitches(plan, skeleton)
    rhythms = random_rhythms(plan, skeleton.onsets)
    entries = []
    for merit in merits:
        if merit.measure_rhythm is not None:
            chance = rhythm_chance(plan, merit, rhythms)
        else:
            chance = median_low([merit.measure(heard) for heard in sample])
        entries.append(
            measured(merit, weights[merit.name], most(merit, weights, merits), merit.best(sample[0]), chance)
        )
    return Scale(tuple(entries))


def merits_of(plan: Plan, weights: Mapping[str, int]) -> list[Merit]:
    """The merits that have a weight and apply to a plan."""
    return [merit for merit in every_merit() if merit.applies(plan) and weights.get(merit.name, 0) > 0]


def most(merit: Merit, weights: Mapping[str, int], merits: Sequence[Merit]) -> int:
    """Thousandths of the total that a merit has by its weight among others."""
    return 100 * UNIT * weights[merit.name] // sum(weights[other.name] for other in merits)


def measured(merit: Merit, weight: int, most: int, best: int, chance: int) -> Measured:
    """A merit's entry in a scale; ``most`` is what it has by its weight."""
    # Where random lines reach the best, one unit short of it has no points.
    chance = min(chance, best - 1)
    # Rounded down, so that no merit is worth more than its weight.
    return Measured(merit, weight, chance, best, max(1, most // (best - chance)))


def _random_pitches(plan: Plan, skeleton: Skeleton) -> list[Heard]:
    """Arrangements whose slots take any state of the range and scale, repeats repeating."""
    plan = replace(plan, held=())  # chance is that of all notes, so that totals compare whatever is held
    drawn = {part.name: random_states(plan, part, skeleton.slots[part.name]) for part in plan.parts}
    return [
        Heard(plan, arrangement_from(plan, skeleton, {name: states[number] for name, states in drawn.items()}))
        for number in range(SAMPLES)
    ]


def random_states(plan: Plan, part: PartPlan, slots: tuple[NoteSlot, ...]) -> list[tuple[State, ...]]:
    random = Random(f"chance {part.name}")  # its own, so that a line's chance is the same beside any other lines
    choices = _choices(plan, part, slots)
    sample = []
    for _ in range(SAMPLES):
        drawn = {home: random.choice(states) for home, states in choices.items()}
        sample.append(tuple(drawn[slot.home] for slot in slots))
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


def rhythm_chance(plan: Plan, merit: Merit, sample: Sequence[Mapping[str, Onsets]]) -> int:
    """What random rhythms reach."""
    assert merit.measure_rhythm is not None
    return median_low(merit.measure_rhythm(plan, onsets) for onsets in sample)


def random_rhythms(plan: Plan, rhythm: Mapping[str, Onsets]) -> list[dict[str, Onsets]]:
    """Rhythms with as many onsets a part, anywhere."""
    drawn = {name: _random_onsets(name, len(onsets), plan.slots) for name, onsets in rhythm.items()}
    return [{name: lines[number] for name, lines in drawn.items()} for number in range(SAMPLES)]


@lru_cache(maxsize=256)
def _random_onsets(name: str, count: int, slots: int) -> list[Onsets]:
    random = Random(f"chance {name}")
    return [tuple(sorted(random.sample(range(slots), count))) for _ in range(SAMPLES)]


def scale_of(plan: Plan, heard: Heard, weights: Mapping[str, int]) -> Scale:
    """The scale of a finished arrangement's own rhythm."""
    return scale_for(plan, skeleton_from(plan, heard.onsets), weights)
