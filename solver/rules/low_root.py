"""The low part starts on the root, and under a slash chord on the bass that the slash names.

The first note of the loop is the first chord's root. Wherever a slash chord starts, the low part's first note under it
is the named bass. Of a struck chord or a dyad the lowest note counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the low part starts on the root or the named bass"


def wanted(plan: Plan, onsets: Onsets) -> dict[int, int]:
    """The pitch class that is bound, by the index of the low part's note."""
    bound: dict[int, int] = {}
    for span in plan.spans:
        inside = [index for index, onset in enumerate(onsets) if span.start <= onset < span.end]
        if inside and (span.index == 0 or span.chord.slash):
            bound[inside[0]] = span.chord.bass.pc
    return bound


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether the low part starts a note with every chord: it carries the changes."""
    if plan.bass is None or part.name != plan.bass.name:
        return True
    return {span.start for span in plan.spans} <= set(onsets)


def post(model: PitchModel) -> None:
    """Fix the pitch class of those notes."""
    part = model.plan.bass
    if part is None:
        return
    for index, pc in wanted(model.plan, model.skeleton.onsets[part.name]).items():
        home = model.skeleton.slots[part.name][index].home
        model.cp.add(literal_sum(model.literals(part, home, lambda s, pc=pc: s.pitches[0] % 12 == pc)) == 1)


def breaches(heard: Heard) -> list[Breach]:
    """Bound notes on another pitch class, and chords with which the low part starts nothing."""
    plan = heard.plan
    part = plan.bass
    if part is None:
        return []
    strokes = heard.of(part)
    starts = {stroke.onset for stroke in strokes}
    found = [
        Breach(NAME, part.name, span.start, f"nothing starts with {span.chord.symbol}")
        for span in plan.spans
        if span.start not in starts
    ]
    for index, pc in wanted(plan, tuple(stroke.onset for stroke in strokes)).items():
        stroke = strokes[index]
        if stroke.pitches[0] % 12 != pc:
            chord = plan.span_at(stroke.onset).chord
            found.append(
                Breach(
                    NAME, part.name, stroke.onset, f"{note_name(stroke.pitches[0])} is not the bass of {chord.symbol}"
                )
            )
    return found


RULE = Rule(NAME, breaches, post=post, admits=admits)
