"""Gaps are filled: where the lead starts nothing for half a beat, another part does.

Unit: half beats without an onset of a lead in which another part starts one. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets

NAME = "gaps are filled"


def half_beat(plan: Plan) -> int:
    """Slots of half a counted beat, at least one."""
    return max(1, plan.metre.grid // (2 * len(plan.metre.beats)))


def gaps(plan: Plan, onsets: Mapping[str, Onsets]) -> tuple[int, int]:
    """Half beats that the leads leave free, and how many of them another part fills."""
    width = half_beat(plan)
    leads = {part.name for part in plan.with_role("lead")}
    taken = {onset // width for name in leads for onset in onsets[name]}
    filled = {onset // width for name in onsets if name not in leads for onset in onsets[name]}
    free = set(range(plan.slots // width)) - taken
    return len(free), len(free & filled)


def measure_rhythm(plan: Plan, onsets: Mapping[str, Onsets]) -> int:
    """Filled half beats."""
    return gaps(plan, onsets)[1]


def measure(heard: Heard) -> int:
    """The same on finished notes."""
    return measure_rhythm(heard.plan, heard.onsets)


def best_rhythm(plan: Plan, onsets: Mapping[str, Onsets]) -> int:
    """All of them."""
    return max(1, gaps(plan, onsets)[0])


def best(heard: Heard) -> int:
    """The same on finished notes."""
    return best_rhythm(heard.plan, heard.onsets)


def sentence(heard: Heard) -> str:
    """How many are filled."""
    free, filled = gaps(heard.plan, heard.onsets)
    return f"of {free} half beats in which the lead starts nothing, {filled} are filled by another part"


def applies(plan: Plan) -> bool:
    """There is a lead and something beside it."""
    return bool(plan.with_role("lead")) and any(part.role != "lead" for part in plan.parts)


MERIT = Merit(NAME, applies, measure, best, sentence, measure_rhythm=measure_rhythm, best_rhythm=best_rhythm)
