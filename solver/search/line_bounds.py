"""What a rhythm can reach at most, told from its lines before it is solved.

Of a merit that adds up over the parts, each line by itself loses at least what a small pitch model of that part must
lose, which keeps those constraints of the whole that speak of no other part. It is solved once for each line, and holds
for every rhythm with that line. Merits of several parts together count as won, so the bound lies some points above
the best.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from copy import copy
from dataclasses import dataclass, replace
from statistics import median_low

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits import blend
from solver.merits.merit import Merit
from solver.rhythm.skeleton import Onsets, Skeleton, note_slots, skeleton_from
from solver.rules import coverage, every_rule
from solver.search.blocks import block_alone, slots_of_variables, variables_of
from solver.search.cp_sat import cp_model
from solver.search.model import NoState, PitchModel, Stopped
from solver.search.notes import arrangement_from
from solver.search.scale import (
    Measured,
    Scale,
    measured,
    merits_of,
    most,
    random_rhythms,
    random_states,
    rhythm_chance,
    scale_for,
)

Rhythm = Mapping[str, Onsets]
Line = tuple[str, Onsets]  # a part's name and its onsets

# A tone that no other part could have in one rhythm is asked of one part there, though another may have it in others: a
# line's model has no constraint of that rule. All others that speak of one part do so whatever the other parts play.
RULES = tuple(rule for rule in every_rule() if rule is not coverage.RULE)

# A merit of several parts is worth its weight at most: its chance lies less than so many units below its best, each of
# which counts a thousandth of a point where the weight is so small that it cannot count less.
UNITS = 2000


@dataclass(frozen=True)
class _Alone:
    """What a line has by itself: its best and its count in each random sample, by merit, and the bars on whose first
    slot it sounds."""

    best: Mapping[str, int]
    counts: Mapping[str, tuple[int, ...]]
    bars: frozenset[int]


class LineBounds:
    """Bounds of the rhythms of one plan, in thousandths of a point.

    ``solve`` gives the most that a model can have, None where it does not know; ``stopped`` ends what is being learnt.
    """

    def __init__(
        self,
        plan: Plan,
        rhythms: Sequence[Rhythm],
        solve: Callable[[cp_model.CpModel], int | None],
        stopped: Callable[[], bool] = lambda: False,
    ) -> None:
        self.plan, self._rhythms, self._solve, self._stopped = plan, rhythms, solve, stopped
        self._merits = merits_of(plan, plan.weights)
        self._most = {merit.name: most(merit, plan.weights, self._merits) for merit in self._merits}
        numbers: dict[Line, int] = {}
        self._lines_of = [[numbers.setdefault(line, len(numbers)) for line in rhythm.items()] for rhythm in rhythms]
        self._lines = list(numbers)
        self._alone = [self._by_itself(*line) for line in numbers]
        self._chances: dict[tuple[str, tuple[int, ...]], int] = {}
        self._entries: dict[tuple[str, tuple[int, ...]], Measured] = {}
        self._steps: list[dict[str, int]] = [{} for _ in numbers]  # what a unit of each merit counts at least
        self._lost = [0 for _ in numbers]
        self.scales: dict[int, Scale] = {}
        self.all_won = [self._all_won(number) for number in range(len(rhythms))]

    def learn(self, pool: Executor) -> None:
        """Learn what each line loses by itself: in as many skeletons as a part has lines, which bring each in once."""
        lines: dict[str, list[int]] = {part.name: [] for part in self.plan.parts}
        for line, (name, _) in enumerate(self._lines):
            lines[name].append(line)
        chosen = [
            {name: of[number] if number < len(of) else of[0] for name, of in lines.items()}
            for number in range(max(map(len, lines.values())))
        ]
        for number, losses in enumerate(pool.map(self._losses, chosen)):
            for name, loss in losses.items():
                if number == 0 or chosen[number][name] != lines[name][0]:
                    self._lost[chosen[number][name]] = loss

    def close(self, number: int) -> int:
        """The bound of a rhythm, by its number."""
        return self.all_won[number] - sum(self._lost[line] for line in self._lines_of[number])

    def closer(self, number: int) -> int:
        """The same with the chance of merits of parts together, which takes a scale of its own; it is kept."""
        rhythm = self._rhythms[number]
        scale = self.scales[number] = scale_for(self.plan, skeleton_from(self.plan, rhythm), self.plan.weights)
        won = 0
        for entry in scale.measured:
            if entry.merit.measure_rhythm is not None:
                won += entry.worth(entry.merit.measure_rhythm(self.plan, rhythm))
            elif entry.merit is blend.MERIT:
                won += entry.worth(entry.best - apart(rhythm))
            else:
                won += entry.worth(entry.best)
        return won + self.close(number) - self.all_won[number]

    def added_up(self, number: int) -> list[Measured]:
        """What a rhythm's scale says of the merits that add up over its lines."""
        lines = self._lines_of[number]
        return [self._added_up(merit, lines) for merit in self._merits if merit.adds_up]

    # -- all that can be won ----------------------------------------------------------------------------------

    def _all_won(self, number: int) -> int:
        """The total of an arrangement that has the best of every merit that hangs on pitches."""
        rhythm, lines, total = self._rhythms[number], self._lines_of[number], 0
        for merit in self._merits:
            if merit.measure_rhythm is not None and merit.best_rhythm is not None:
                key = (merit.name, tuple(len(onsets) for onsets in rhythm.values()))
                if key not in self._chances:
                    self._chances[key] = rhythm_chance(self.plan, merit, random_rhythms(self.plan, rhythm))
                entry = self._measured(merit, merit.best_rhythm(self.plan, rhythm), self._chances[key])
                total += entry.worth(merit.measure_rhythm(self.plan, rhythm))
            elif merit.adds_up:
                entry = self._added_up(merit, lines)
                total += entry.worth(entry.best)
            elif merit is blend.MERIT:
                total += self._blended(rhythm, lines)
            else:
                total += max(UNITS, self._most[merit.name])
        return total

    def _measured(self, merit: Merit, best: int, chance: int) -> Measured:
        return measured(merit, self.plan.weights[merit.name], self._most[merit.name], best, chance)

    def _added_up(self, merit: Merit, all_lines: Sequence[int]) -> Measured:
        lines = tuple(line for line in all_lines if merit.name in self._alone[line].best)
        key = (merit.name, lines)
        if key not in self._entries:
            samples = zip(*(self._alone[line].counts[merit.name] for line in lines), strict=True)
            best = sum(self._alone[line].best[merit.name] for line in lines)
            entry = self._entries[key] = self._measured(merit, best, median_low(map(sum, samples)))
            for line in lines:
                self._steps[line][merit.name] = min(entry.step, self._steps[line].get(merit.name, entry.step))
        return self._entries[key]

    def _blended(self, rhythm: Rhythm, lines: Sequence[int]) -> int:
        """All neighbours fuse; by chance at least those notes blend that start together."""
        starts, fusion = blend.chord_starts(self.plan), 0
        for bar in range(self.plan.bars):
            pairs = sum(bar in self._alone[line].bars for line in lines) - 1
            fusion += max(0, pairs) * (2 + (bar * self.plan.metre.grid in starts))
        worth, others = self._most[blend.NAME], apart(rhythm)
        return max(fusion, worth * fusion // (fusion + others)) if fusion + others else worth

    def _by_itself(self, name: str, onsets: Onsets) -> _Alone:
        part, bar = self.plan.part(name), self.plan.metre.grid
        slots = note_slots(self.plan, part, onsets)
        free = replace(self.plan, held=())
        alone, skeleton = replace(free, parts=(part,)), Skeleton({name: slots})
        sample = [
            Heard(alone, arrangement_from(alone, skeleton, {name: states}))
            for states in random_states(free, part, slots)
        ]
        merits = [merit for merit in self._merits if merit.adds_up and merit.applies(alone)]
        return _Alone(
            {merit.name: merit.best(sample[0]) for merit in merits},
            {merit.name: tuple(merit.measure(heard) for heard in sample) for merit in merits},
            frozenset(-(-slot.onset // bar) for slot in slots if -(-slot.onset // bar) * bar < slot.end),
        )

    # -- what is lost by itself -------------------------------------------------------------------------------

    def _losses(self, lines: Mapping[str, int]) -> dict[str, int]:
        """What lines that make up a skeleton lose, each without the others, by part name."""
        skeleton = skeleton_from(self.plan, {name: self._lines[line][1] for name, line in lines.items()})
        try:
            model = PitchModel(self.plan, skeleton, RULES, self._stopped)
        except (NoState, Stopped):
            return {}
        objectives: dict[str, dict[int, int]] = {}
        constants = dict.fromkeys(lines, 0)
        for name, line in lines.items():
            view = copy(model)
            view.plan = replace(self.plan, parts=(self.plan.part(name),))
            objective = objectives[name] = {}
            for merit in self._merits:
                if merit.name not in self._alone[line].best or merit.reward is None:
                    continue
                reward, step = merit.reward(view), self._steps[line][merit.name]
                constants[name] += step * (reward.constant - self._alone[line].best[merit.name])
                for coefficient, variable in reward.terms:
                    objective[variable.index] = objective.get(variable.index, 0) + step * coefficient
        constraints = [variables_of(constraint) for constraint in model.cp.proto.constraints]
        blocks = {name: frozenset((name, slot.home) for slot in skeleton.slots[name]) for name in lines}
        slots = slots_of_variables(model, constraints, list(blocks.values()))
        losses = {}
        for name, objective in objectives.items():
            alone = block_alone(model, constraints, slots, blocks[name], objective)
            most_of_it = self._solve(alone)
            losses[name] = 0 if most_of_it is None else max(0, -(most_of_it + constants[name]))
        return losses


def apart(rhythm: Rhythm) -> int:
    """Notes that start alone."""
    return sum(len(onsets) for onsets in rhythm.values()) - blend.together(rhythm)
