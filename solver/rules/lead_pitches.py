"""The lead is of few notes: 2 to 5 different pitches in each pass through the chords, the varied notes apart.

Of a struck chord the top note counts. A broken-chord lead needs three tones of each chord, so where the chords of a
pass have few tones in common its limit is the number of their roots, thirds and fifths, if that is more than 5.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the lead has 2 to 5 different pitches"
FEWEST, MOST = 2, 5


def limit(plan: Plan, part: PartPlan, pass_index: int) -> int:
    """The most different pitches that the lead may use in a pass."""
    if not part.rings:
        return MOST
    triads = {tone.pc for span in plan.spans if span.pass_index == pass_index for tone in span.chord.tones[:3]}
    return max(MOST, len(triads))


def counted(plan: Plan, part: PartPlan, onsets: Onsets, pass_index: int) -> list[int]:
    """Indices of the notes in a pass whose pitches count: those in the last bar of the last statement do not."""
    return [
        index
        for index, onset in enumerate(onsets)
        if onset < plan.tail_start(part) and plan.span_at(onset).pass_index == pass_index
    ]


def passes(plan: Plan) -> range:
    """The passes through the chord list."""
    return range(plan.spans[-1].pass_index + 1)


def post(model: PitchModel) -> None:
    """A literal per pass and pitch that is used; their number has bounds."""
    plan = model.plan
    for part in plan.with_role("lead"):
        for index in passes(plan):
            used = model.used_tops(part, index)
            if used:
                fewest = min(FEWEST, len(counted(plan, part, model.skeleton.onsets[part.name], index)))
                model.cp.add_linear_constraint(literal_sum(used.values()), fewest, limit(plan, part, index))


def breaches(heard: Heard) -> list[Breach]:
    """Passes in which the lead has too few or too many pitches."""
    plan, found = heard.plan, []
    for part in plan.with_role("lead"):
        for index in passes(plan):
            every = heard.of(part)
            strokes = [every[i] for i in counted(plan, part, tuple(stroke.onset for stroke in every), index)]
            number, fewest, most = (
                len({stroke.top for stroke in strokes}),
                min(FEWEST, len(strokes)),
                limit(plan, part, index),
            )
            if not fewest <= number <= most:
                found.append(
                    Breach(NAME, part.name, strokes[0].onset, f"{number} different pitches, not {fewest} to {most}")
                )
    return found


RULE = Rule(NAME, breaches, post=post)
