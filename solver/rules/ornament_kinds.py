"""What the rules of the single kinds of ornaments share: may a note carry it, and where does one stand wrongly."""

from __future__ import annotations

from collections.abc import Callable

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.ornaments import Piece, astray, shape, with_following
from solver.rules.rule import Breach, Rule

# Whether the pieces that a note is played as suit the kind, given the note that follows.
Suits = Callable[[Plan, PartPlan, Note, tuple[Piece, ...], Note], bool]


def kind_rule(name: str, kind: str, why: str, suits: Suits = lambda plan, part, note, pieces, following: True) -> Rule:
    """The rule of one kind: the note is long enough to be played so, and what is added stays in range and scale."""

    def allows_ornament(heard: Heard, part: PartPlan, note: Note, following: Note, given: str) -> bool:
        if given != kind:
            return True
        plan = heard.plan
        pieces = shape(plan, part, note, kind, following)
        return bool(pieces) and suits(plan, part, note, pieces, following) and astray(plan, part, note, pieces) is None

    def breaches(heard: Heard) -> list[Breach]:
        return [
            Breach(name, part.name, note.onset, why)
            for part in heard.plan.parts
            for note, following in with_following(heard.plan, heard.arrangement.part(part.name))
            if note.ornament == kind and not allows_ornament(heard, part, note, following, kind)
        ]

    return Rule(name, breaches, allows_ornament=allows_ornament)
