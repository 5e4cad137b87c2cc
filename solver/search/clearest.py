"""Rhythms in which least is forbidden come first, where arrangements keep clear of references or of earlier takes.

A run is shared only where its rhythm is there too. In another rhythm the melodies are free, and their best is proved as
soon as without any reference; in the rhythm of a reference the best are those that are forbidden.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton
from solver.rules.clear_of_references import contours_in_place, forbidden, runs_in_place

BATCH = 48  # skeletons among which the order is changed


def clearest_first(plan: Plan, skeletons: Iterator[Skeleton]) -> Iterator[Skeleton]:
    """The same skeletons; of so many that come next those first in which the fewest runs and contours are forbidden."""
    runs = forbidden(plan)
    lines = [line for source in plan.avoid.sources for line in source.lines]

    def places(skeleton: Skeleton) -> int:
        return sum(
            sum(1 for _ in runs_in_place(plan, onsets, runs))
            + (sum(1 for _ in contours_in_place(plan, part, onsets, lines)) if part.role == "lead" else 0)
            for part in plan.parts
            for onsets in (skeleton.onsets[part.name],)
        )

    while batch := list(islice(skeletons, BATCH)):
        yield from sorted(batch, key=places)
