"""What the search tells while it runs and at its end: progress, what was found, or why there is nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from solver.arrangement import Ranked
from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton


@dataclass(frozen=True)
class Progress:
    """How far the search is: skeletons done of those begun, the best total (0 to 100) so far, arrangements in hand.

    ``open`` are the skeletons that are being solved or wait for a core; with fewer than there are cores, one is free.
    """

    skeletons_done: int
    skeletons: int
    best: float | None
    found: int
    open: int = 0


@dataclass(frozen=True)
class Outcome:
    """What the search found, best first."""

    arrangements: tuple[Ranked, ...]
    tried: int
    undecided: int
    exhausted: bool
    interrupted: bool
    remarks: tuple[str, ...] = ()
    compared: str = ""  # how good the first is among all rhythms, where they were compared


class NoArrangement(Exception):
    """No arrangement satisfies the brief; the message says how far the search went.

    ``undecided`` counts skeletons of which it is not known. ``plan`` is the plan as it was searched, with what its held
    notes are excused for; ``tried`` are its rhythms in order, ``every`` says that its families have no others. ``why``
    is what was learnt on the way.
    """

    def __init__(
        self,
        message: str,
        undecided: int = 0,
        plan: Plan | None = None,
        tried: Sequence[Skeleton] = (),
        every: bool = True,
        why: Why | None = None,
    ) -> None:
        super().__init__(message)
        self.undecided, self.plan, self.tried, self.every, self.why = undecided, plan, tuple(tried), every, why


class Why(Protocol):
    """What can tell of a skeleton, from others without any arrangement, that it has none for the same reason."""

    def learn(self, plan: Plan, skeletons: Sequence[Skeleton]) -> None:
        """Take note of all skeletons that were tried without success."""

    def refutes(self, skeleton: Skeleton) -> bool:
        """Whether a skeleton has no arrangement; False where that is not known."""
        ...


class BrokenRule(Exception):
    """The search returned what the check refuses: an error of this program. The message names the rule."""
