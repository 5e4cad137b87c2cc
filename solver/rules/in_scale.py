"""Every note belongs to the key's scale as the sounding chord alters it (E7 in A minor brings G#)."""

from __future__ import annotations

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule
from solver.search.state import State

NAME = "in the scale"


def allows_state(plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    """Whether all pitches belong to the scale under the sounding chord."""
    scale = plan.span_at(slot).scale
    return all(pitch % 12 in scale for pitch in state.pitches)


def breaches(heard: Heard) -> list[Breach]:
    """Notes outside the scale."""
    found = []
    for part in heard.plan.parts:
        for stroke in heard.of(part):
            span = heard.plan.span_at(stroke.onset)
            found.extend(
                Breach(
                    NAME,
                    part.name,
                    stroke.onset,
                    f"{note_name(pitch)} is not in {heard.plan.key.name} under {span.chord.symbol}",
                )
                for pitch in stroke.pitches
                if pitch % 12 not in span.scale
            )
    return found


RULE = Rule(NAME, breaches, allows_state=allows_state)
