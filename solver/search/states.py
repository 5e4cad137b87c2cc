"""Which states a part may have in a slot before any rule is asked."""

from __future__ import annotations

from solver.brief.plan import PartPlan, Plan
from solver.music.fretboard import places
from solver.rules.voicings import voicing_states
from solver.search.state import State


def candidate_states(plan: Plan, part: PartPlan, slot: int) -> tuple[State, ...]:
    """All pitches of a line's range, all places of a broken chord's, all voicings of the sounding chord."""
    if not part.is_line:
        return voicing_states(part.instrument, plan.span_at(slot).chord, part.low, part.high, part.texture)
    if part.rings:
        return tuple(
            State((pitch,), (place,))
            for pitch in range(part.low, part.high + 1)
            for place in sorted(places(pitch, part.instrument))
        )
    return tuple(State((pitch,)) for pitch in range(part.low, part.high + 1))
