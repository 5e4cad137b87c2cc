"""The last stage: which long notes carry an ornament, chosen exactly on finished pitches.

It cannot change which pitches are best. No merit counts ornaments, and the rules of ornaments ask for none that the
pitches at hand do not allow: so every arrangement has ornaments that keep them, the total is that of its pitches
alone, and the best arrangement with ornaments is the best one with the best ornaments for it. The pitch model has not
one variable more for them.

Here a literal stands for each ornament that could be: of a part, on a note of the first statement and all that repeat
it, of a kind. CP-SAT maximises how many there are and then how well they sit, to the proven best.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.ornaments import KINDS, NONE, RUN
from solver.ornaments import added_pitches, beat_slots, shape, with_following
from solver.rules import every_rule
from solver.rules.ornament_repeats import sharers
from solver.search.cp_sat import Model, cp_model

# Worth of an ornament beyond being there (settings of our own): all of them together count less than one ornament more.
ONE_MORE = 10_000
HELD = 1_000_000  # what was there in what a lock keeps comes first
PER_BEAT, MOST_BEATS = 10, 4  # of the long note
LEADS_ON = 8  # of a run
NEW_KIND = 25  # of each kind that a part has at all
BY_CHANCE = 6  # so that seeds differ


@dataclass(frozen=True, eq=False)
class Choice:
    """An ornament that could be: ``notes`` carry it together, the first statement's first; ``added`` are pitches."""

    part: str
    kind: str
    notes: tuple[Note, ...]
    added: frozenset[int]
    worth: int
    literal: cp_model.IntVar


class OrnamentModel:
    """Literals of all ornaments that rules allow on an arrangement's notes, tied together by the rules that post."""

    def __init__(self, plan: Plan, arrangement: Arrangement) -> None:
        self.heard = Heard(plan, arrangement)
        self.cp = Model()
        self.choices = [choice for part in plan.parts if part.ornaments != NONE for choice in self._choices(part)]
        for rule in every_rule():
            if rule.post_ornaments is not None:
                rule.post_ornaments(self)

    def of(self, part: PartPlan) -> list[Choice]:
        """The choices of one part."""
        return [choice for choice in self.choices if choice.part == part.name]

    def maximise(self) -> None:
        """As many as may be, then the best placed, of several kinds."""
        terms = [choice.worth * choice.literal for choice in self.choices]
        for part in self.heard.plan.parts:
            for kind in KINDS:
                literals = [choice.literal for choice in self.of(part) if choice.kind == kind]
                if literals:
                    used = self.cp.new_bool_var("")
                    self.cp.add(used <= cp_model.LinearExpr.sum(literals))
                    terms.append(NEW_KIND * used)
        self.cp.maximize(cp_model.LinearExpr.sum(terms))

    def _choices(self, part: PartPlan) -> Iterator[Choice]:
        plan = self.heard.plan
        notes = self.heard.arrangement.part(part.name)
        followings = dict(with_following(plan, notes))
        checks = [rule.allows_ornament for rule in every_rule() if rule.allows_ornament is not None]
        for first in notes:
            if plan.home_slot(part, first.onset) != first.onset:
                continue
            for kind in KINDS:
                shared = tuple(sharers(plan, part, notes, first, kind))
                shapes = [shape(plan, part, note, kind, followings[note]) for note in shared]
                allowed = all(check(self.heard, part, n, followings[n], kind) for n in shared for check in checks)
                if allowed and all(shapes):
                    added = frozenset(pitch for pieces in shapes for pitch in added_pitches(pieces))
                    worth = _worth(plan, shared, kind)
                    yield Choice(part.name, kind, shared, added, worth, self.cp.new_bool_var(""))


def ornamented(plan: Plan, arrangement: Arrangement) -> Arrangement:
    """The arrangement with its ornaments; as it is where the brief wants none. Equal input gives equal ornaments."""
    if all(part.ornaments == NONE for part in plan.parts):
        return arrangement
    model = OrnamentModel(plan, arrangement)
    model.maximise()
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model.cp)
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return with_choices(arrangement, [choice for choice in model.choices if solver.value(choice.literal)])


def with_choices(arrangement: Arrangement, chosen: list[Choice]) -> Arrangement:
    """The arrangement with these ornaments and no others."""
    kinds = {note: choice.kind for choice in chosen for note in choice.notes}
    return Arrangement(tuple(replace(note, ornament=kinds.get(note)) for note in arrangement.notes))


def _worth(plan: Plan, notes: tuple[Note, ...], kind: str) -> int:
    """What an ornament is worth: long notes first, runs, which lead on, before others; what is held comes first."""
    first = notes[0]
    beats = min(first.length / beat_slots(plan), MOST_BEATS)
    chance = Random(f"{plan.seed} {first.part} {first.onset} {kind}").randrange(BY_CHANCE)
    placed = {(note.part, note.onset, note.pitch, kind) for note in notes}
    held = any((n.part, n.onset, n.pitch, n.ornament) in placed for kept in plan.held for n in kept.notes)
    return ONE_MORE + round(PER_BEAT * beats) + LEADS_ON * (kind == RUN) + chance + HELD * held
