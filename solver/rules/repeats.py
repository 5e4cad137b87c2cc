"""All statements of a repeating part equal the first; the last one varies ``vary_notes`` notes in its last bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard, Stroke
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the repeat repeats, with a change at the end"


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether the rhythm of every statement is the first one's, and its last bar has the notes that are to vary."""
    if part.repeat_every is None:
        return True
    statement = part.repeat_every * plan.metre.grid
    first = {onset for onset in onsets if onset < statement}
    if any(
        {onset - start for onset in onsets if start <= onset < start + statement} != first
        for start in range(0, plan.slots, statement)
    ):
        return False
    return sum(1 for onset in onsets if onset >= plan.tail_start(part)) >= part.vary_notes[0]


def post(model: PitchModel) -> None:
    """The last bar of the last statement has literals of its own; so many of its notes differ from the first's.

    Where held notes give that bar another rhythm, a note that only one of the two bars has differs whatever it is; what
    that breaks is the rhythm's fault.
    """
    plan = model.plan
    for part in plan.parts:
        if part.repeat_every is None or part.vary_notes[1] == 0:
            continue
        slots, tail = model.skeleton.slots[part.name], plan.tail_start(part)
        index_of = {slot.onset: slot.index for slot in slots}
        later = tail - plan.home_slot(part, tail)
        varied = {slot.onset for slot in slots if slot.onset >= tail}
        first = {slot.onset + later for slot in slots if tail <= slot.onset + later < plan.slots}
        changed = []
        for onset in sorted(varied & first):
            index, home = index_of[onset], index_of[onset - later]
            differs = model.cp.new_bool_var("")
            changed.append(differs)
            pitches = {state.pitches for at in (home, index) for state in model.states(part, at)}
            for sounding in sorted(pitches):
                here = model.literals(part, index, lambda s, p=sounding: s.pitches == p)
                there = model.literals(part, home, lambda s, p=sounding: s.pitches == p)
                model.cp.add(literal_sum(here) <= literal_sum(there) + differs)
                model.cp.add(literal_sum(here) + literal_sum(there) + differs <= 2)
        low, high = (max(0, number - len(varied ^ first)) for number in part.vary_notes)
        model.cp.add_linear_constraint(literal_sum(changed), low, high)


def breaches(heard: Heard) -> list[Breach]:
    """Notes of a later statement that are not the first's, and a last bar that varies too little or too much."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if part.repeat_every is None:
            continue
        statement = part.repeat_every * plan.metre.grid
        by_onset = {stroke.onset: stroke for stroke in heard.of(part)}
        changed = []
        for start in range(statement, plan.slots, statement):
            for slot in range(start, start + statement):
                if _same(by_onset.get(slot - start), by_onset.get(slot)):
                    continue
                if slot < plan.tail_start(part):
                    found.append(Breach(NAME, part.name, slot, "this is not what the first statement plays here"))
                else:
                    changed.append(slot)
        low, high = part.vary_notes
        if not low <= len(changed) <= high:
            notes = "1 note" if len(changed) == 1 else f"{len(changed)} notes"
            wanted = low if low == high else f"{low} to {high}"
            why = f"the last bar changes {notes}, not {wanted}"
            found.append(Breach(NAME, part.name, plan.tail_start(part), why))
    return found


def _same(one: Stroke | None, other: Stroke | None) -> bool:
    if one is None or other is None:
        return one is other
    return one.pitches == other.pitches


RULE = Rule(NAME, breaches, post=post, admits=admits)
