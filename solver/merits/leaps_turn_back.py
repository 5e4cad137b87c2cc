"""Leaps turn back: registral direction (Schellenberg 1997, Music Perception 14(3) 295-318, in its revised form).

After a large interval (7 semitones or more) a change of direction is expected. Unit: a loss over all neighbouring
triples of the leads, around the loop: 2 where a large interval goes on the same way, 1 where the next note repeats.
The revised model's other half, the return to within a whole step, holds for nearly every triple of small moves and so
tells tunes apart no more; it is left out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.merits.merit import Merit, Reward
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "leaps turn back"
LARGE = 7


def loss(first: int, second: int, third: int) -> int:
    """What three MIDI pitches in a row lose: 0 unless the first interval is large and the second does not turn."""
    into, out = second - first, third - second
    if abs(into) < LARGE or into * out < 0:
        return 0
    return 1 if out == 0 else 2


def measure(heard: Heard) -> int:
    """The loss over all triples of the leads, negative."""
    total = 0
    for part in heard.plan.with_role("lead"):
        tops = [stroke.top for stroke in heard.of(part)]
        if len(tops) > 2:
            total -= sum(loss(tops[i - 2], tops[i - 1], tops[i]) for i in range(len(tops)))
    return total


def reward(model: PitchModel) -> Reward:
    """A loss per triple and direction; repeated triples share theirs."""
    total = Reward()
    for part in model.plan.with_role("lead"):
        slots = model.skeleton.slots[part.name]
        if len(slots) < 3:
            continue
        triples: dict[tuple[int, int, int], int] = {}
        for index in range(len(slots)):
            key = (slots[index - 2].home, slots[index - 1].home, slots[index].home)
            triples[key] = triples.get(key, 0) + 1
        for homes, times in triples.items():
            _reward_triple(model, part, homes, times, total)
    return total


def _reward_triple(model: PitchModel, part: PartPlan, homes: tuple[int, int, int], times: int, total: Reward) -> None:
    into, out = model.arcs_between(part, homes[0], homes[1]), model.arcs_between(part, homes[1], homes[2])
    for sign in (1, -1):
        large = [arc.literal for arc in into if sign * (arc.b.top - arc.a.top) >= LARGE]
        if not large:
            continue
        stays = [arc.literal for arc in out if arc.b.top == arc.a.top]
        onward = [arc.literal for arc in out if sign * (arc.b.top - arc.a.top) > 0]
        turnless, same_way = model.cp.new_bool_var(""), model.cp.new_bool_var("")
        model.cp.add(turnless >= literal_sum(large) + literal_sum(stays) + literal_sum(onward) - 1)
        model.cp.add(same_way >= literal_sum(large) + literal_sum(onward) - 1)
        total.add(-times, turnless)
        total.add(-times, same_way)


def sentence(heard: Heard) -> str:
    """How many large leaps turn."""
    large = turned = 0
    for part in heard.plan.with_role("lead"):
        tops = [stroke.top for stroke in heard.of(part)]
        for i in range(len(tops)):
            into, out = tops[i - 1] - tops[i - 2], tops[i] - tops[i - 1]
            if abs(into) >= LARGE:
                large += 1
                turned += into * out < 0
    if not large:
        return "the lead has no leap of a fifth or more"
    return f"{turned} of {large} leaps of a fifth or more turn back at once"


MERIT = Merit(NAME, lambda plan: bool(plan.with_role("lead")), measure, lambda heard: 0, sentence, reward, adds_up=True)
