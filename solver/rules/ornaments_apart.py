"""Ornaments keep apart: no two notes of a line in a row carry one, nor two parts at once, and no struck chord does.

Round the loop too: the last note's neighbour is the first (common practice, no source).
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from solver.arrangement import Note
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.ornaments import with_following
from solver.rules.rule import Breach, Rule

if TYPE_CHECKING:
    from solver.search.ornaments import OrnamentModel

NAME = "ornaments keep apart"


def in_a_row(heard: Heard, one: Note, other: Note) -> bool:
    """Whether two notes of a part stand next to each other, round the loop."""
    notes = heard.arrangement.part(one.part)
    gap = abs(notes.index(one) - notes.index(other))
    return one != other and gap in (1, len(notes) - 1)


def meet(one: Note, other: Note) -> bool:
    """Whether two notes sound together."""
    return one.onset < other.end and other.onset < one.end


def _too_near(heard: Heard, one: Note, other: Note) -> bool:
    return in_a_row(heard, one, other) if one.part == other.part else meet(one, other)


def post(model: OrnamentModel) -> None:
    """One ornament a note, and one of any two that are too near each other; none that is so to its own repeats."""
    for choice in model.choices:
        if any(_too_near(model.heard, a, b) for a, b in combinations(choice.notes, 2)):
            model.cp.add_bool_or([~choice.literal])
    for one, other in combinations(model.choices, 2):
        same = one.part == other.part and one.notes[0] == other.notes[0]
        if same or any(_too_near(model.heard, a, b) for a in one.notes for b in other.notes):
            model.cp.add_bool_or([~one.literal, ~other.literal])


def breaches(heard: Heard) -> list[Breach]:
    """Ornaments that are too near another one, or on a note that is struck with others."""
    plan: Plan = heard.plan
    found = []
    decorated = [note for part in plan.parts for note in heard.arrangement.part(part.name) if note.ornament]
    for one, other in combinations(decorated, 2):
        if _too_near(heard, one, other):
            late = max(one, other, key=lambda note: note.onset)
            found.append(Breach(NAME, late.part, late.onset, f"{_named(plan, one)} is too near {_named(plan, other)}"))
    for part in plan.parts:
        for note, following in with_following(plan, heard.arrangement.part(part.name)):
            if note.ornament and (following.onset == note.onset or not part.is_line or part.rings):
                found.append(Breach(NAME, part.name, note.onset, "struck and broken chords carry no ornaments"))
    return found


def _named(plan: Plan, note: Note) -> str:
    return f"{note.part}'s {note.ornament} at {plan.place(note.onset)}"


RULE = Rule(NAME, breaches, post_ornaments=post)
