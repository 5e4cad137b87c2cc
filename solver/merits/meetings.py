"""Where parts sound together on the first beats of bars: what roughness, blend and the low limits look at."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from solver.heard import Meeting, meetings

if TYPE_CHECKING:
    from solver.search.model import PitchModel


def model_meetings(model: PitchModel) -> Iterator[Meeting]:
    """The meetings of a skeleton."""
    times = {name: [(slot.onset, slot.end) for slot in slots] for name, slots in model.skeleton.slots.items()}
    return meetings(model.plan, times)
