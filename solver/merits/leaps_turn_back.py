"""Leaps turn back: pitch reversal (Schellenberg 1997, Music Perception 14(3) 295-318).

Of three tones: after a large interval (7 semitones or more) a change of direction counts 1, going on the same way -1;
a third tone within 2 semitones of the first counts 1.5, where the direction changes (the theory's reading). Unit:
half points over all neighbouring triples of the leads, around the loop.
"""

from __future__ import annotations

from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.merits.merit import Merit, Reward
from solver.rules.rule import literal_sum

NAME = "leaps turn back"
LARGE = 7
NEAR = 2
BEST = 5


def reversal(first: int, second: int, third: int) -> int:
    """Twice the pitch reversal of three MIDI pitches."""
    into, out = second - first, third - second
    turns = into * out < 0
    direction = 0
    if abs(into) >= LARGE:
        direction = 1 if turns else -1 if into * out > 0 else 0
    returns = 3 if turns and abs(third - first) <= NEAR else 0
    return 2 * direction + returns


def measure(heard: Heard) -> int:
    """The sum over all triples of the leads."""
    total = 0
    for part in heard.plan.with_role("lead"):
        tops = [stroke.top for stroke in heard.of(part)]
        if len(tops) > 2:
            total += sum(reversal(tops[i], tops[(i + 1) % len(tops)], tops[(i + 2) % len(tops)]) for i in range(len(tops)))
    return total


def best(heard: Heard) -> int:
    """Every triple leaps and comes back."""
    return sum(BEST * len(heard.of(part)) for part in heard.plan.with_role("lead") if len(heard.of(part)) > 2)


def reward(model) -> Reward:  # noqa: ANN001
    """A literal per triple for each thing that counts; repeated triples share theirs."""
    total = Reward()
    for part in model.plan.with_role("lead"):
        slots = model.skeleton.slots[part.name]
        if len(slots) < 3:
            continue
        triples: dict[tuple[int, int, int], int] = {}
        for index in range(len(slots)):
            key = (slots[index].home, slots[(index + 1) % len(slots)].home, slots[(index + 2) % len(slots)].home)
            triples[key] = triples.get(key, 0) + 1
        for homes, times in triples.items():
            _reward_triple(model, part, homes, times, total)
    return total


def _reward_triple(model, part: PartPlan, homes: tuple[int, int, int], times: int, total: Reward) -> None:  # noqa: ANN001
    cp = model.cp
    into, out = model.arcs_between(part, homes[0], homes[1]), model.arcs_between(part, homes[1], homes[2])
    up_in = literal_sum(arc.literal for arc in into if arc.b.top > arc.a.top)
    down_in = literal_sum(arc.literal for arc in into if arc.b.top < arc.a.top)
    up_out = literal_sum(arc.literal for arc in out if arc.b.top > arc.a.top)
    down_out = literal_sum(arc.literal for arc in out if arc.b.top < arc.a.top)
    for sign, turned, onward in ((1, down_out, up_out), (-1, up_out, down_out)):
        large = [arc.literal for arc in into if sign * (arc.b.top - arc.a.top) >= LARGE]
        if not large:
            continue
        turn, on = cp.new_bool_var(""), cp.new_bool_var("")
        cp.add(turn <= literal_sum(large))
        cp.add(turn <= turned)
        cp.add(on >= literal_sum(large) + onward - 1)
        total.add(2 * times, turn)
        total.add(-2 * times, on)
    returns = cp.new_bool_var("")
    near = []
    for top in sorted({state.top for state in model.states(part, homes[0])}):
        here = model.literals(part, homes[0], lambda s, t=top: s.top == t)
        there = model.literals(part, homes[2], lambda s, t=top: abs(s.top - t) <= NEAR)
        if there:
            both = cp.new_bool_var("")
            cp.add(both <= literal_sum(here))
            cp.add(both <= literal_sum(there))
            near.append(both)
    cp.add(returns <= literal_sum(near))
    # It turns: up then down, or down then up.
    cp.add(returns <= up_in + down_in)
    cp.add(returns + up_in <= 1 + down_out)
    cp.add(returns + down_in <= 1 + up_out)
    total.add(3 * times, returns)


def sentence(heard: Heard) -> str:
    """How many large leaps turn."""
    large = turned = 0
    for part in heard.plan.with_role("lead"):
        tops = [stroke.top for stroke in heard.of(part)]
        for i in range(len(tops)):
            a, b, c = tops[i], tops[(i + 1) % len(tops)], tops[(i + 2) % len(tops)]
            if abs(b - a) >= LARGE:
                large += 1
                turned += (b - a) * (c - b) < 0
    if not large:
        return "the lead has no leap of a fifth or more"
    return f"{turned} of {large} leaps of a fifth or more turn back at once"


MERIT = Merit(NAME, lambda plan: bool(plan.with_role("lead")), measure, best, sentence, reward)
