"""Where each part stands: level, side and distance by role. Common practice of mixing, no source.

The lead and the lowest part stand near the middle; what fills lies to the sides and further back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solver.brief.plan import PartPlan, Plan


@dataclass(frozen=True)
class Place:
    """``gain`` of the dry sound, ``side`` from -1 (left) to 1 (right), ``wet`` of the room against the dry sound."""

    gain: float
    side: float
    wet: float

    @property
    def sides(self) -> tuple[float, float]:
        """Gains of left and right at constant power."""
        angle = (self.side + 1) * math.pi / 4
        return math.sqrt(2) * math.cos(angle), math.sqrt(2) * math.sin(angle)


# Decibels of level, width of the side, decibels of the room.
_ROLES = {
    "lead": (0.0, 0.12, -15.0),
    "counter": (-2.0, 0.38, -14.0),
    "low": (-0.5, 0.06, -21.0),
    "chords": (-4.5, 0.42, -15.0),
    "background": (-1.0, 0.48, -12.0),
}
_OTHER = (-3.0, 0.3, -15.0)


def places_of(plan: Plan) -> dict[str, Place]:
    """A place for every part; from the highest part down, sides alternate."""
    places: dict[str, Place] = {}
    for index, part in enumerate(plan.by_rank):
        level, width, room = _of_role(part)
        places[part.name] = Place(_linear(level), width if index % 2 else -width, _linear(room))
    return places


def _of_role(part: PartPlan) -> tuple[float, float, float]:
    return _ROLES.get(part.role, _OTHER)


def _linear(decibels: float) -> float:
    return 10 ** (decibels / 20)
