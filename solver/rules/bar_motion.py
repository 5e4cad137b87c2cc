"""``motion``: where a part has to go.

"down": the first notes of the bars never rise within a pass, and fall at least once; "up" likewise. "hold" stays on one
pitch in each chord's time. "free" asks for nothing. Of a chord the lowest note counts for a low part, else the top.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Onsets, Rule, literal_sum
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the part moves as asked"


def voice(part: PartPlan, pitches: tuple[int, ...]) -> int:
    """The pitch that counts for the motion."""
    return pitches[0] if part.role == "low" else pitches[-1]


def first_notes(plan: Plan, onsets: Onsets) -> list[list[int]]:
    """For each pass, the indices of the notes that are the first of their bar."""
    passes: dict[int, list[int]] = {}
    seen = set()
    for index, onset in enumerate(onsets):
        bar = plan.bar_of(onset)
        if bar not in seen:
            seen.add(bar)
            passes.setdefault(plan.span_at(onset).pass_index, []).append(index)
    return [indices for indices in passes.values() if len(indices) > 1]


def held(plan: Plan, onsets: Onsets) -> list[list[int]]:
    """For each chord span, the indices of its notes."""
    spans: dict[int, list[int]] = {}
    for index, onset in enumerate(onsets):
        spans.setdefault(plan.span_at(onset).index, []).append(index)
    return [indices for indices in spans.values() if len(indices) > 1]


def post(model: PitchModel) -> None:
    """Threshold sums between neighbouring first notes."""
    for part in model.plan.parts:
        slots, onsets = model.skeleton.slots[part.name], model.skeleton.onsets[part.name]
        if part.motion == "hold":
            for indices in held(model.plan, onsets):
                for one, other in itertools.pairwise(indices):
                    _post_equal(model, part, slots[one].home, slots[other].home)
        elif part.motion in ("down", "up"):
            for indices in first_notes(model.plan, onsets):
                homes = [slots[index].home for index in indices]
                if part.motion == "up":
                    homes.reverse()
                for one, other in itertools.pairwise(homes):
                    _post_not_below(model, part, one, other, strictly=False)
                _post_not_below(model, part, homes[0], homes[-1], strictly=True)


def _pitches(model: PitchModel, part: PartPlan, *homes: int) -> list[int]:
    return sorted({voice(part, state.pitches) for home in homes for state in model.states(part, home)})


def _post_equal(model: PitchModel, part: PartPlan, one: int, other: int) -> None:
    if one == other:
        return
    ours, theirs = _by_voice(model, part, one), _by_voice(model, part, other)
    for pitch in sorted({*ours, *theirs}):
        model.cp.add(literal_sum(ours.get(pitch, ())) == literal_sum(theirs.get(pitch, ())))


def _by_voice(model: PitchModel, part: PartPlan, home: int) -> dict[int, list[Any]]:
    """The literals of a slot's states, by the pitch that counts."""
    found: dict[int, list[Any]] = {}
    for state, literal in model.states_with_literals(part, home):
        found.setdefault(voice(part, state.pitches), []).append(literal)
    return found


def _post_not_below(model: PitchModel, part: PartPlan, one: int, other: int, strictly: bool) -> None:
    """The note ``one`` is at least as high as ``other``, or higher."""
    for pitch in _pitches(model, part, one, other):

        def at_most(state: State, pitch: int = pitch) -> bool:
            return voice(part, state.pitches) <= pitch

        def at_least(state: State, pitch: int = pitch) -> bool:
            return voice(part, state.pitches) >= pitch + (0 if strictly else 1)

        low, high = model.literals(part, one, at_most), model.literals(part, other, at_least)
        if low and high:
            model.cp.add(literal_sum(low) + literal_sum(high) <= 1)


def breaches(heard: Heard) -> list[Breach]:
    """Passes or chord spans that move otherwise."""
    plan, found = heard.plan, []
    for part in plan.parts:
        strokes = heard.of(part)
        onsets = tuple(stroke.onset for stroke in strokes)
        pitches = [voice(part, stroke.pitches) for stroke in strokes]
        if part.motion == "hold":
            for indices in held(plan, onsets):
                if len({pitches[index] for index in indices}) > 1:
                    found.append(
                        Breach(NAME, part.name, onsets[indices[0]], "it does not hold one pitch while the chord lasts")
                    )
        elif part.motion in ("down", "up"):
            turn = 1 if part.motion == "down" else -1
            for indices in first_notes(plan, onsets):
                walk = [turn * pitches[index] for index in indices]
                if any(b > a for a, b in itertools.pairwise(walk)) or walk[-1] >= walk[0]:
                    found.append(
                        Breach(NAME, part.name, onsets[indices[0]], f"the bars' first notes do not move {part.motion}")
                    )
    return found


RULE = Rule(NAME, breaches, post=post)
