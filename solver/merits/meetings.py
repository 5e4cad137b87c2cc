"""Where parts sound together on the first beats of bars: what roughness, blend and the low limits look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard, Stroke

if TYPE_CHECKING:
    from solver.search.model import PitchModel


@dataclass(frozen=True)
class Meeting:
    """Two parts that sound in a bar's first slot with no other part between them in rank."""

    slot: int
    upper: PartPlan
    high: int  # index of the upper part's stroke
    lower: PartPlan
    low: int  # index of the lower part's stroke


def meetings(plan: Plan, times: Mapping[str, list[tuple[int, int]]]) -> Iterator[Meeting]:
    """Every pair of neighbours in every bar's first slot; ``times`` gives onset and end of each stroke by part name.

    Of a broken chord whose notes ring the one started last is met.
    """
    grid = plan.metre.grid
    for slot in range(0, plan.slots, grid):
        sounding = []
        for part in plan.by_rank:
            inside = [i for i, (onset, end) in enumerate(times[part.name]) if onset <= slot < end]
            if inside:
                sounding.append((part, inside[-1]))
        for (upper, high), (lower, low) in pairwise(sounding):
            yield Meeting(slot, upper, high, lower, low)


def heard_meetings(heard: Heard) -> Iterator[tuple[Meeting, Stroke, Stroke]]:
    """The meetings of an arrangement with their strokes."""
    times = {name: [(stroke.onset, stroke.end) for stroke in strokes] for name, strokes in heard.parts.items()}
    for meeting in meetings(heard.plan, times):
        yield meeting, heard.of(meeting.upper)[meeting.high], heard.of(meeting.lower)[meeting.low]


def model_meetings(model: PitchModel) -> Iterator[Meeting]:
    """The meetings of a skeleton."""
    times = {name: [(slot.onset, slot.end) for slot in slots] for name, slots in model.skeleton.slots.items()}
    return meetings(model.plan, times)
