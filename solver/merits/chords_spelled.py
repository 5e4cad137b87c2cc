"""The lead spells the chords: a chord played note by note is what a lead of these loops often is.

Unit: different chord tones that a lead plays in each chord's time, up to three. Common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from solver.heard import Heard
from solver.merits.merit import Merit, Reward
from solver.rules.rule import literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the lead spells the chords"
TONES = 3


def _counts(heard: Heard) -> list[int]:
    """Different chord tones by lead and chord span."""
    return [
        len({stroke.top % 12 for stroke in heard.in_span(part, span)} & span.chord.pcs)
        for part in heard.plan.with_role("lead")
        for span in heard.plan.spans
    ]


def measure(heard: Heard) -> int:
    """Chord tones, three a span at most."""
    return sum(min(TONES, count) for count in _counts(heard))


def best(heard: Heard) -> int:
    """Three in each span."""
    return TONES * len(heard.plan.spans) * len(heard.plan.with_role("lead"))


def reward(model: PitchModel) -> Reward:
    """A literal per span and chord tone that may only be true where it is played."""
    total = Reward()
    for part in model.plan.with_role("lead"):
        for span in model.plan.spans:
            played = []
            for pc in sorted(span.chord.pcs):
                homes = model.homes_in_span(part, span)
                literals = [x for home in homes for x in model.literals(part, home, lambda s, pc=pc: s.top % 12 == pc)]
                if literals:
                    played.append(model.cp.new_bool_var(""))
                    model.cp.add(played[-1] <= literal_sum(literals))
            if len(played) > TONES:
                model.cp.add(literal_sum(played) <= TONES)
            for literal in played:
                total.add(1, literal)
    return total


def sentence(heard: Heard) -> str:
    """In how many spans it has three."""
    counts = _counts(heard)
    full = sum(count >= TONES for count in counts)
    return f"the lead plays three tones of the chord in {full} of {len(counts)} chords' times"


MERIT = Merit(NAME, lambda plan: bool(plan.with_role("lead")), measure, best, sentence, reward, adds_up=True)
