"""Clear in the low register: low interval limits (shared/low_limits.toml names the published tables).

Unit: semitones by which the lower note of two neighbouring parts on the first beat of a bar lies below the limit of
their interval, as a loss.
Published tables differ by one to three semitones, so this is a merit and no rule.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from solver.heard import Heard
from solver.merits.meetings import losses, model_meetings
from solver.merits.merit import Merit, Reward
from solver.music.low_limits import load_low_limits, shortfall

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "clear in the low register"


def muddiness(upper: tuple[int, ...], lower: tuple[int, ...], limits: dict[int, int]) -> int:
    """Semitones below the limits, over the pairs of notes of two parts."""
    return sum(shortfall(min(a, b), max(a, b), limits) for a in upper for b in lower)


@cache
def _limits() -> dict[int, int]:
    return load_low_limits()


def measure(heard: Heard) -> int:
    """The loss over all meetings, negative."""
    limits = _limits()
    return -sum(muddiness(high.pitches, low.pitches, limits) for _, high, low in heard.meetings)


def reward(model: PitchModel) -> Reward:
    """A literal for each semitone that may be lost where two parts meet."""
    limits = _limits()
    met = [(meeting, None) for meeting in model_meetings(model)]
    return losses(model, met, lambda high, low, _: muddiness(high.pitches, low.pitches, limits))


def sentence(heard: Heard) -> str:
    """How many intervals are too low."""
    limits = _limits()
    pairs = [muddiness(high.pitches, low.pitches, limits) for _, high, low in heard.meetings]
    deep = sum(amount > 0 for amount in pairs)
    if not deep:
        return "no interval on the first beat of a bar lies below its low limit"
    return (
        f"{deep} of {len(pairs)} intervals on the first beats of bars lie below their low limit, "
        f"by {max(pairs)} semitones at most"
    )


MERIT = Merit(NAME, lambda plan: len(plan.parts) > 1, measure, lambda heard: 0, sentence, reward)
