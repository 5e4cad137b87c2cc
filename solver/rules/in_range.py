"""Every note lies in its part's range."""

from __future__ import annotations

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.pitch import note_name
from solver.rules.rule import Breach, Rule
from solver.search.state import State

NAME = "inside the range"


def allows_state(plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    """Whether all pitches lie in the part's range."""
    return part.low <= state.pitches[0] and state.pitches[-1] <= part.high


def breaches(heard: Heard) -> list[Breach]:
    """Notes outside their part's range."""
    return [
        Breach(NAME, part.name, stroke.onset, f"{note_name(pitch)} is outside {_words(part)}")
        for part in heard.plan.parts
        for stroke in heard.of(part)
        for pitch in stroke.pitches
        if not part.low <= pitch <= part.high
    ]


def _words(part: PartPlan) -> str:
    return f"{note_name(part.low)}..{note_name(part.high)}"


RULE = Rule(NAME, breaches, allows_state=allows_state)
