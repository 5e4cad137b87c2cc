"""Where parts sound together on the first beats of bars: what consonance, blend and the low limits look at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import TYPE_CHECKING, TypeVar

from solver.heard import Meeting, above_lowest, meetings
from solver.merits.merit import Reward

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.state import State

About = TypeVar("About", bound=Hashable)
Times = dict[str, list[tuple[int, int]]]


def model_meetings(model: PitchModel) -> Iterator[Meeting]:
    """The meetings of neighbours in a skeleton."""
    return meetings(model.plan, _times(model))


def model_above_lowest(model: PitchModel) -> Iterator[Meeting]:
    """The meetings of all other parts with the lowest one in a skeleton."""
    return above_lowest(model.plan, _times(model))


def _times(model: PitchModel) -> Times:
    return {name: [(slot.onset, slot.end) for slot in slots] for name, slots in model.skeleton.slots.items()}


def losses(
    model: PitchModel,
    met: Iterable[tuple[Meeting, About]],
    loss: Callable[[State, State, About], int],
    each: int = 1,
) -> Reward:
    """What is lost where parts meet: ``each`` for every unit of ``loss``, which is told the states of the upper and of
    the lower part and what goes with the meeting. Repeats of the same notes share their literals."""
    total = Reward()
    times: Counter[tuple[str, int, str, int, About]] = Counter()
    parts = {part.name: part for part in model.plan.parts}
    slots = model.skeleton.slots
    for meeting, about in met:
        high, low = slots[meeting.upper.name][meeting.high].home, slots[meeting.lower.name][meeting.low].home
        times[meeting.upper.name, high, meeting.lower.name, low, about] += 1
    for (upper, high, lower, low, about), count in times.items():
        lost = model.lost(
            (parts[upper], high), (parts[lower], low), lambda one, other, about=about: loss(one, other, about)
        )
        for literal in lost:
            total.add(-each * count, literal)
    return total
