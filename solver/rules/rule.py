"""What a hard rule is: a name in plain words, how it is posted, and how a breach is found in finished notes.

Each rule has two halves on purpose. ``breaches`` reads finished notes and knows no solver. The other fields pose the
rule: ``allows_state`` and ``allows_move`` say which states and moves exist at all in the pitch model, ``post`` adds
what ties several slots or parts together, ``admits`` and ``admits_together`` judge rhythms in stage 1. Of ornaments,
which are chosen last, ``allows_ornament`` says which may stand on a note (given with the next one), ``post_ornaments``
what ties several together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.search.state import State

if TYPE_CHECKING:
    from solver.search.model import PitchModel
    from solver.search.ornaments import OrnamentModel

Onsets = tuple[int, ...]


@dataclass(frozen=True)
class Breach:
    """One place where a rule is broken: the rule's name, the part (None: the parts together), the slot, and why."""

    rule: str
    part: str | None
    slot: int
    why: str

    def line(self, plan: Plan) -> str:
        """The breach as one line of a report."""
        who = f"{self.part}, " if self.part else ""
        return f"{self.rule}: {who}{plan.place(self.slot)}: {self.why}"


@dataclass(frozen=True)
class Rule:
    """One hard rule. Slots are counted from the loop's start; states hold MIDI numbers."""

    name: str
    breaches: Callable[[Heard], list[Breach]]
    allows_state: Callable[[Plan, PartPlan, int, State], bool] | None = None
    allows_move: Callable[[Plan, PartPlan, int, State, int, State], bool] | None = None
    post: Callable[[PitchModel], None] | None = None
    admits: Callable[[Plan, PartPlan, Onsets], bool] | None = None
    admits_together: Callable[[Plan, Mapping[str, Onsets]], bool] | None = None
    allows_ornament: Callable[[Heard, PartPlan, Note, Note, str], bool] | None = None
    post_ornaments: Callable[[OrnamentModel], None] | None = None


def literal_sum(literals: Iterable[Any]) -> Any:
    """The sum of literals as a linear expression (ortools is imported here, so that a check runs without it)."""
    from solver.search.cp_sat import cp_model

    return cp_model.LinearExpr.sum(list(literals))
