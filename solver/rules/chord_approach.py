"""The low part walks into the chords: at least half of the chord changes are approached by step.

Those count where the low line has two notes or more in the bar before the change. Half of the changes inside the loop,
and half of all with the one from its end back to its start.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.passing_notes import moves_by_step
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the low part walks into half of the chord changes"
NOTES_BEFORE = 2


@dataclass(frozen=True)
class Change:
    """A chord change that counts: indices of the notes before and after it, and whether it leads back to the start."""

    before: int
    after: int
    seam: bool


def applies(plan: Plan) -> PartPlan | None:
    """The lowest low part, if it is a line that is free to move."""
    part = plan.bass
    return part if part is not None and part.is_line and part.motion != "hold" else None


def changes(plan: Plan, onsets: Onsets) -> list[Change]:
    """The chord changes before which the low part has two notes or more within a bar."""
    found = []
    for index, span in enumerate(plan.spans):
        before = plan.spans[index - 1]
        if before.chord == span.chord:
            continue
        start = span.start if index else plan.slots
        busy = sum(1 for onset in onsets if start - plan.metre.grid <= onset < start)
        inside = [number for number, onset in enumerate(onsets) if span.start <= onset < span.end]
        if busy >= NOTES_BEFORE and inside:
            found.append(Change((inside[0] - 1) % len(onsets), inside[0], index == 0))
    return found


def groups(counted: list[Change]) -> list[list[Change]]:
    """The sets of changes half of which have to be approached by step."""
    inner = [change for change in counted if not change.seam]
    return [group for group in (inner, counted) if group]


def post(model: PitchModel) -> None:
    """Twice the stepwise approaches are at least the changes."""
    part = applies(model.plan)
    if part is None:
        return
    slots = model.skeleton.slots[part.name]
    for group in groups(changes(model.plan, model.skeleton.onsets[part.name])):
        steps = [
            arc.literal
            for change in group
            for arc in model.arcs_between(part, change.before, change.after)
            if moves_by_step(
                model.plan, part, slots[change.before].onset, arc.a.top, slots[change.after].onset, arc.b.top
            )
        ]
        model.cp.add(2 * literal_sum(steps) >= len(group))


def breaches(heard: Heard) -> list[Breach]:
    """A loop in which too few changes are approached by step."""
    part = applies(heard.plan)
    if part is None:
        return []
    strokes, found = heard.of(part), []
    for group in groups(changes(heard.plan, tuple(stroke.onset for stroke in strokes))):
        steps = 0
        for change in group:
            a, b = strokes[change.before], strokes[change.after]
            steps += moves_by_step(heard.plan, part, a.onset, a.top, b.onset, b.top)
        if 2 * steps < len(group):
            found.append(
                Breach(
                    NAME,
                    part.name,
                    strokes[group[0].after].onset,
                    f"{steps} of {len(group)} changes are approached by step",
                )
            )
    return found[:1]


RULE = Rule(NAME, breaches, post=post)
