"""In each chord's time the background has a pitch class that no other part plays then.

It may be a chord tone that nobody else has, or a note of its own outside the chord. One alone is reserved for it: where
it has several, the rules on notes outside the chord excuse the notes of one of them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Rule

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the background has a pitch class of its own"


def may_exempt(plan: Plan, part: PartPlan, slot: int, pitch: int) -> bool:
    """Whether this pitch could be free of the rules on notes outside the chord if it were the background's own."""
    chord = plan.span_at(slot).chord
    return part.role == "background" and part.is_line and (pitch - 1) % 12 not in chord.pcs


def own_pitch_classes(heard: Heard, part: PartPlan, span: ChordSpan) -> frozenset[int]:
    """Pitch classes that in this chord's time the part plays and no other part does."""
    own = _pitch_classes(heard, part, span)
    for other in heard.plan.parts:
        if other.name != part.name:
            own -= _pitch_classes(heard, other, span)
    return own


def excuse(heard: Heard, part: PartPlan, span: ChordSpan, wanting: Iterable[int]) -> int | None:
    """The one of the part's own pitch classes that excuses its notes in a chord's time: that of most that want it."""
    own = own_pitch_classes(heard, part, span)
    counts = Counter(pc for pc in wanting if pc in own)
    return max(sorted(counts), key=lambda pc: counts[pc], default=None)


def _pitch_classes(heard: Heard, part: PartPlan, span: ChordSpan) -> frozenset[int]:
    return frozenset(pitch % 12 for stroke in heard.in_span(part, span) for pitch in stroke.pitches)


def applies(plan: Plan) -> bool:
    """A lone part has no other to differ from."""
    return len(plan.parts) > 1


def post(model: PitchModel) -> None:
    """One literal per chord span and pitch class that is reserved; one per span, for a lone part one at most."""
    one = model.cp.add_exactly_one if applies(model.plan) else model.cp.add_at_most_one
    for part in model.plan.with_role("background"):
        for span in model.plan.spans:
            one([model.own_pitch_class(part, span, pc) for pc in model.pitch_classes(part, span)])


def breaches(heard: Heard) -> list[Breach]:
    """Chord spans in which a background has nothing of its own."""
    if not applies(heard.plan):
        return []
    return [
        Breach(NAME, part.name, span.start, f"all it plays under {span.chord.symbol} is played by another part too")
        for part in heard.plan.with_role("background")
        for span in heard.plan.spans
        if not own_pitch_classes(heard, part, span)
    ]


RULE = Rule(NAME, breaches, post=post)
