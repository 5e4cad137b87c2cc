"""Few pitches: economy of the lead. Unit: different pitches beyond four in a pass, as a loss.

Common practice, no source: a lead that is remembered makes do with a handful of notes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.heard import Heard
from solver.merits.merit import Merit, Reward
from solver.rules.lead_pitches import counted, passes
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "few pitches in the lead"
FREE = 4


def numbers(heard: Heard) -> list[int]:
    """How many different pitches each lead has in each pass where it plays."""
    found = []
    for part in heard.plan.with_role("lead"):
        strokes = heard.of(part)
        onsets = tuple(stroke.onset for stroke in strokes)
        for index in passes(heard.plan):
            tops = {strokes[i].top for i in counted(heard.plan, part, onsets, index)}
            if tops:
                found.append(len(tops))
    return found


def measure(heard: Heard) -> int:
    """The loss, negative."""
    return -sum(max(0, number - FREE) for number in numbers(heard))


def reward(model: PitchModel) -> Reward:
    """One excess a pass; passes that share their literals share it."""
    total, seen = Reward(), {}
    for part in model.plan.with_role("lead"):
        for index in passes(model.plan):
            used = model.used_tops(part, index)
            if len(used) <= FREE:
                continue
            if id(used) not in seen:
                seen[id(used)] = model.cp.new_int_var(0, len(used) - FREE, "")
                model.cp.add(seen[id(used)] >= literal_sum(used.values()) - FREE)
            total.add(-1, seen[id(used)])
    return total


def sentence(heard: Heard) -> str:
    """How many."""
    found = numbers(heard)
    span = f"{min(found)}" if min(found) == max(found) else f"{min(found)} to {max(found)}"
    return f"the lead uses {span} different pitches in each pass through the chords"


MERIT = Merit(NAME, lambda plan: bool(plan.with_role("lead")), measure, lambda heard: 0, sentence, reward, adds_up=True)
