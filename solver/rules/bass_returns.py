"""The low part moves under the repeat, so that the same melody sounds new.

On the first beat of each return of a lead the low part starts a note whose pitch differs from that at the return
before, unless the chord differs or a slash names the bass. Of a chord the lowest note counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the low part changes under each return of the lead"


def returns(plan: Plan) -> list[tuple[int, int]]:
    """Pairs (slot before, slot of the return) of the leads' statements, without those where a bass is named."""
    pairs = set()
    for lead in plan.with_role("lead"):
        if lead.repeat_every is None:
            continue
        statement = lead.repeat_every * plan.metre.grid
        pairs |= {(slot - statement, slot) for slot in range(statement, plan.slots, statement)}
    return sorted(pairs)


def must_differ(plan: Plan, before: int, slot: int) -> bool:
    """Whether the two low notes have to differ."""
    chord = plan.span_at(slot).chord
    return chord == plan.span_at(before).chord and not chord.slash


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether the low part starts a note at each return."""
    if plan.bass is None or part.name != plan.bass.name:
        return True
    return all(slot in onsets for _, slot in returns(plan))


def post(model: PitchModel) -> None:
    """No pitch at both."""
    part = model.plan.bass
    if part is None:
        return
    home = {slot.onset: slot.home for slot in model.skeleton.slots[part.name]}
    for before, slot in returns(model.plan):
        if before not in home or not must_differ(model.plan, before, slot):
            continue
        for pitch in sorted({state.pitches[0] for state in model.states(part, home[slot])}):
            both = [
                literal
                for index in (home[before], home[slot])
                for literal in model.literals(part, index, lambda s, p=pitch: s.pitches[0] == p)
            ]
            model.cp.add(literal_sum(both) <= 1)


def breaches(heard: Heard) -> list[Breach]:
    """Returns under which the low part starts nothing, or what it started before."""
    plan = heard.plan
    part = plan.bass
    if part is None:
        return []
    at = {stroke.onset: stroke.pitches[0] for stroke in heard.of(part)}
    found = []
    for before, slot in returns(plan):
        if slot not in at:
            found.append(Breach(NAME, part.name, slot, "nothing starts under the lead's return"))
        elif at.get(before) == at[slot] and must_differ(plan, before, slot):
            found.append(Breach(NAME, part.name, slot, f"{note_name(at[slot])} again, as under the statement before"))
    return found


RULE = Rule(NAME, breaches, post=post, admits=admits)
