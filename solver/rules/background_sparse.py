"""The background is sparse and moves little.

It starts something in each chord's time, has no more strokes in the loop than any lead, and uses at most four
different pitches (of a chord, its top note) in each pass through the chords.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.lead_pitches import counted, passes
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the background is sparse and moves little"
MOST_PITCHES = 4


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether a background has a stroke in each chord's time."""
    if part.role != "background":
        return True
    return all(any(span.start <= onset < span.end for onset in onsets) for span in plan.spans)


def admits_together(plan: Plan, onsets: Mapping[str, Onsets]) -> bool:
    """Whether no background has more strokes than a lead."""
    leads = [len(onsets[part.name]) for part in plan.with_role("lead")]
    return all(len(onsets[part.name]) <= least for part in plan.with_role("background") for least in leads)


def most_pitches(plan: Plan, pass_index: int) -> int:
    """How many pitches a background may use in a pass: four, or one a chord where there are more chords."""
    return max(MOST_PITCHES, sum(1 for span in plan.spans if span.pass_index == pass_index))


def post(model: PitchModel) -> None:
    """A literal per pass and pitch that is used; their number has a limit."""
    for part in model.plan.with_role("background"):
        for index in passes(model.plan):
            used = model.used_tops(part, index)
            if used:
                model.cp.add(literal_sum(used.values()) <= most_pitches(model.plan, index))


def breaches(heard: Heard) -> list[Breach]:
    """Chords without a background note, more strokes than the lead, too many pitches."""
    plan, found = heard.plan, []
    onsets = {part.name: tuple(stroke.onset for stroke in heard.of(part)) for part in plan.parts}
    for part in plan.with_role("background"):
        if not admits(plan, part, onsets[part.name]):
            found.append(Breach(NAME, part.name, 0, "there is a chord in whose time it starts nothing"))
        for lead in plan.with_role("lead"):
            if len(onsets[part.name]) > len(onsets[lead.name]):
                found.append(Breach(NAME, part.name, 0, f"it has more notes than {lead.name}"))
        for index in passes(plan):
            strokes = [heard.of(part)[i] for i in counted(plan, part, onsets[part.name], index)]
            number = len({stroke.top for stroke in strokes})
            if number > most_pitches(plan, index):
                why = f"{number} different pitches in this pass, not {most_pitches(plan, index)} at most"
                found.append(Breach(NAME, part.name, strokes[0].onset, why))
    return found


RULE = Rule(NAME, breaches, post=post, admits=admits, admits_together=admits_together)
