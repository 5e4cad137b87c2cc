"""The reduced problem: variables, rules and rewards of one rhythm, as plain data that any solver can be given.

A variable is a note with a pitch of its own; its values are MIDI numbers. All rules about single notes have gone into
the domains, those about neighbours into the pairs; four rules tie notes and parts together: parts do not cross, every
chord tone sounds, the background has a pitch class of its own, the lead has 2 to 5 different pitches. Rewards are those
of merits that look at single notes and at pairs of them, in thousandths of the total. All is read off the model.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.merits import bass_walks, seam, small_moves, strong_harmony
from solver.merits.merit import Reward
from solver.rhythm.skeleton import Skeleton
from solver.rules import coverage, every_rule, lead_pitches, own_pitch_class, register_order
from solver.rules.rule import Rule
from solver.search.model import PitchModel
from solver.search.scale import scale_for

Variable = str
Pair = tuple[Variable, Variable]
Choice = Mapping[Variable, int]

TYING = (register_order, coverage, own_pitch_class, lead_pitches)
REWARDED = (small_moves, strong_harmony, seam, bass_walks)


@dataclass(frozen=True)
class OwnClass:
    """One of the pitch classes that ``own`` might have is one that it has and none of ``others`` has."""

    own: tuple[Variable, ...]
    others: tuple[Variable, ...]


@dataclass(frozen=True)
class Reduced:
    """Rules and rewards. ``constant`` belongs to the total, so that it is the program's own."""

    domains: dict[Variable, tuple[int, ...]]
    moves: dict[Pair, dict[tuple[int, int], int]]  # pairs that neighbours may take, each with its reward
    above: tuple[Pair, ...]  # the first is higher than the second
    sounding: tuple[tuple[int, tuple[Variable, ...]], ...]  # a pitch class that one of these has
    own: tuple[OwnClass, ...]
    few: tuple[tuple[int, int, tuple[Variable, ...]], ...]  # fewest and most different pitches among these
    worth: dict[Variable, dict[int, int]]  # reward of a value
    same: dict[Pair, int]  # reward, mostly a loss, where both have the same pitch
    constant: int

    @property
    def tables(self) -> list[tuple[tuple[Variable, ...], list[tuple[int, ...]]]]:
        """Moves and single notes with a reward as tables: variables, and rows of their values and the reward."""
        moves = [((a, b) if a != b else (a,), a == b, pairs) for (a, b), pairs in self.moves.items()]
        found: list[tuple[tuple[Variable, ...], list[tuple[int, ...]]]] = [
            (names, [(*pair[: len(names)], reward) for pair, reward in pairs.items() if not one or pair[0] == pair[1]])
            for names, one, pairs in moves
        ]
        found += [((name,), list(worth.items())) for name, worth in self.worth.items() if any(worth.values())]
        return found

    def holds(self, choice: Choice) -> bool:
        """Whether a choice keeps every rule."""
        inside = all(choice[name] in values for name, values in self.domains.items())
        moved = all((choice[a], choice[b]) in pairs for (a, b), pairs in self.moves.items())
        ordered = all(choice[a] > choice[b] for a, b in self.above)
        covered = all(any(choice[name] % 12 == pc for name in names) for pc, names in self.sounding)
        owned = all(
            classes(choice[name] for name in group.own) - classes(choice[name] for name in group.others)
            for group in self.own
        )
        few = all(least <= len({choice[name] for name in names}) <= most for least, most, names in self.few)
        return inside and moved and ordered and covered and owned and few

    def total(self, choice: Choice) -> int:
        """The total of a choice in thousandths of a point."""
        single = sum(worth[choice[name]] for name, worth in self.worth.items())
        moved = sum(pairs[choice[a], choice[b]] for (a, b), pairs in self.moves.items())
        return (
            single + moved + sum(loss for (a, b), loss in self.same.items() if choice[a] == choice[b]) + self.constant
        )


def classes(pitches: Iterable[int]) -> set[int]:
    """Their pitch classes."""
    return {pitch % 12 for pitch in pitches}


def name_of(part: str, home: int) -> Variable:
    """The variable of a part's slot, by its home index."""
    return f"{part}_{home}"


def reduced_rules() -> tuple[Rule, ...]:
    """All rules on single notes and neighbours, and the four that tie."""
    tying = {module.NAME for module in TYING}
    return tuple(rule if rule.name in tying else replace(rule, post=None) for rule in every_rule())


def reduced_plan(plan: Plan) -> Plan:
    """The plan with the rewarded merits alone."""
    names = {module.NAME for module in REWARDED}
    return replace(plan, weights={name: weight if name in names else 0 for name, weight in plan.weights.items()})


def reduced_problem(plan: Plan, skeleton: Skeleton) -> Reduced:
    """The problem of a reduced plan's rhythm. Its parts are lines of which no note rings over the next one."""
    model = PitchModel(plan, skeleton, reduced_rules())
    rewards, constant = _rewards(model)
    notes = [(part, home) for part in plan.parts for home in sorted({s.home for s in skeleton.slots[part.name]})]
    reduced = Reduced(
        domains={name_of(part.name, home): tuple(s.top for s in model.states(part, home)) for part, home in notes},
        moves={
            (name_of(move.part, move.a), name_of(move.part, move.b)): {
                (arc.a.top, arc.b.top): rewards.pop(arc.literal.index, 0) for arc in model.arcs(move)
            }
            for part in plan.parts
            for move in model.moves(part)
        },
        above=tuple(dict.fromkeys(_above(plan, skeleton))),
        sounding=tuple(
            (pc, _in_span(model, plan.parts, span)) for span in plan.spans for pc in coverage.needed(plan, span)
        ),
        own=tuple(
            OwnClass(_in_span(model, [part], span), _in_span(model, [p for p in plan.parts if p is not part], span))
            for part in plan.with_role("background")
            for span in plan.spans
        ),
        few=tuple(dict.fromkeys(_few(plan, skeleton))),
        worth={
            name_of(part.name, home): {
                state.top: rewards.pop(literal.index, 0) for state, literal in model.states_with_literals(part, home)
            }
            for part, home in notes
        },
        same=_same(model, rewards),
        constant=constant,
    )
    if rewards:
        raise ValueError("a reward of the reduced problem stands on neither a note nor two")
    return reduced


def _rewards(model: PitchModel) -> tuple[dict[int, int], int]:
    """What each literal is worth, by its index, and what is no literal's."""
    worth: dict[int, int] = {}
    constant = 0
    for entry in scale_for(model.plan, model.skeleton, model.plan.weights).measured:
        reward = entry.merit.reward(model) if entry.merit.reward else Reward()
        constant += entry.step * (reward.constant - entry.chance)
        for coefficient, variable in reward.terms:
            worth[variable.index] = worth.get(variable.index, 0) + entry.step * coefficient
    return worth, constant


def _same(model: PitchModel, rewards: dict[int, int]) -> dict[Pair, int]:
    """The rewards for two notes of one pitch; they are taken out of ``rewards``."""
    part = model.plan.bass
    if part is None:
        return {}
    slots, onsets = model.skeleton.slots[part.name], model.skeleton.onsets[part.name]
    found: dict[Pair, int] = {}
    for i, j in (*bass_walks.bar_starts(model.plan, onsets), *bass_walks.going_back(model.plan, onsets)):
        first, second = sorted((slots[i].home, slots[j].home))
        loss = rewards.pop(model.same_top(part, i, j).index, 0)
        if loss:
            found[name_of(part.name, first), name_of(part.name, second)] = loss
    return found


def _in_span(model: PitchModel, parts: Iterable[PartPlan], span: ChordSpan) -> tuple[Variable, ...]:
    return tuple(name_of(part.name, home) for part in parts for home in model.homes_in_span(part, span))


def _above(plan: Plan, skeleton: Skeleton) -> Iterator[Pair]:
    for upper, lower in register_order.ordered_pairs(plan):
        for high, low in product(skeleton.slots[upper.name], skeleton.slots[lower.name]):
            if low.onset < high.end and high.onset < low.end:
                yield name_of(upper.name, high.home), name_of(lower.name, low.home)


def _few(plan: Plan, skeleton: Skeleton) -> Iterator[tuple[int, int, tuple[Variable, ...]]]:
    for part in plan.with_role("lead"):
        slots, onsets = skeleton.slots[part.name], skeleton.onsets[part.name]
        for index in lead_pitches.passes(plan):
            notes = lead_pitches.counted(plan, part, onsets, index)
            names = tuple(name_of(part.name, home) for home in sorted({slots[note].home for note in notes}))
            if names:
                yield min(lead_pitches.FEWEST, len(notes)), lead_pitches.limit(plan, part, index), names
