"""A counter line answers in the lead's gaps: at least two thirds of its notes start where no lead starts one."""

from __future__ import annotations

from collections.abc import Mapping

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Onsets, Rule

NAME = "the counter answers in the lead's gaps"


def answers(counter: Onsets, leads: set[int]) -> bool:
    """Whether enough of the counter's onsets miss the leads'."""
    return 3 * sum(1 for onset in counter if onset not in leads) >= 2 * len(counter)


def admits_together(plan: Plan, onsets: Mapping[str, Onsets]) -> bool:
    """Whether each counter answers."""
    leads = {onset for lead in plan.with_role("lead") for onset in onsets[lead.name]}
    return all(answers(onsets[part.name], leads) for part in plan.with_role("counter"))


def breaches(heard: Heard) -> list[Breach]:
    """Counters that mostly move with the lead."""
    leads = {stroke.onset for lead in heard.plan.with_role("lead") for stroke in heard.of(lead)}
    found = []
    for part in heard.plan.with_role("counter"):
        onsets = tuple(stroke.onset for stroke in heard.of(part))
        if not answers(onsets, leads):
            together = sum(1 for onset in onsets if onset in leads)
            found.append(Breach(NAME, part.name, 0, f"{together} of its {len(onsets)} notes start with the lead"))
    return found


RULE = Rule(NAME, breaches, admits_together=admits_together)
