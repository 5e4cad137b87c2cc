"""Each chord's tones all sound, over the parts together, while it lasts.

A brief of one single-line part may leave out the fifth of a chord of four or five tones.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.brief.plan import ChordSpan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Rule

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "every chord tone sounds"


def needed(plan: Plan, span: ChordSpan) -> tuple[int, ...]:
    """The pitch classes that have to sound in a chord's time."""
    tones = set(span.chord.pcs)
    if len(plan.parts) == 1 and plan.parts[0].is_line and len(tones) > 3:
        tones.discard(span.chord.fifth)
    return tuple(sorted(tones))


def post(model: PitchModel) -> None:
    """For each span and tone, some slot of some part has it."""
    for span in model.plan.spans:
        for pc in needed(model.plan, span):
            carriers = [
                literal
                for part in model.plan.parts
                for index in model.homes_in_span(part, span)
                for literal in model.literals(part, index, lambda s, pc=pc: any(p % 12 == pc for p in s.pitches))
            ]
            model.cp.add_bool_or(carriers)


def breaches(heard: Heard) -> list[Breach]:
    """Chord tones that do not sound in their chord's time."""
    found = []
    for span in heard.plan.spans:
        sounding = {
            pitch % 12 for part in heard.plan.parts for stroke in heard.in_span(part, span) for pitch in stroke.pitches
        }
        missing = [pc for pc in needed(heard.plan, span) if pc not in sounding]
        names = ", ".join(f"the {span.chord.degree(pc) or 'tone'}" for pc in missing)
        if missing:
            found.append(Breach(NAME, None, span.start, f"{names} of {span.chord.symbol} is missing"))
    return found


RULE = Rule(NAME, breaches, post=post)
