"""Ornaments lie under the hand: with their notes, a phrase still has one hand position that reaches everything.

Phrases are those of the rule that each phrase lies under one hand; one that no hand reaches as it is written is that
rule's breach alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from solver.brief.plan import PartPlan
from solver.heard import Heard
from solver.music.fretboard import positions, reach
from solver.ornaments import added_pitches, decorated
from solver.rules.hand_position import applies, phrase_of
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.ornaments import OrnamentModel

NAME = "ornaments lie under the phrase's hand"


def _written(heard: Heard, part: PartPlan) -> dict[int, set[int]]:
    """The written pitches of each phrase."""
    phrases: dict[int, set[int]] = {}
    for stroke in heard.of(part):
        phrases.setdefault(phrase_of(heard.plan, part, stroke.onset), set()).update(stroke.pitches)
    return phrases


def _hands(part: PartPlan, pitches: Iterable[int]) -> list[int]:
    """Positions from which a hand reaches all these pitches."""
    wanted = set(pitches)
    return [position for position in positions(part.instrument) if wanted <= reach(part.instrument, position)]


def post(model: OrnamentModel) -> None:
    """One of the positions that reach a phrase is its hand's; an ornament implies one that reaches it too."""
    plan = model.heard.plan
    for part in plan.parts:
        if not applies(part):
            continue
        hands = {phrase: _hands(part, pitches) for phrase, pitches in _written(model.heard, part).items()}
        literals: dict[int, dict[int, Any]] = {}
        for choice in model.of(part):
            for note in choice.notes:
                phrase = phrase_of(plan, part, note.onset)
                if not hands[phrase]:
                    continue
                if phrase not in literals:
                    literals[phrase] = {position: model.cp.new_bool_var("") for position in hands[phrase]}
                    model.cp.add_exactly_one(literals[phrase].values())
                fitting = [
                    literal
                    for position, literal in literals[phrase].items()
                    if choice.added <= reach(part.instrument, position)
                ]
                model.cp.add(choice.literal <= literal_sum(fitting))


def breaches(heard: Heard) -> list[Breach]:
    """Phrases that only their ornaments put out of reach."""
    plan, found = heard.plan, []
    for part in plan.parts:
        if not applies(part):
            continue
        added: dict[int, set[int]] = {}
        first: dict[int, int] = {}
        for note, pieces in decorated(plan, part, heard.arrangement.part(part.name)):
            phrase = phrase_of(plan, part, note.onset)
            added.setdefault(phrase, set()).update(added_pitches(pieces))
            first.setdefault(phrase, note.onset)
        written = _written(heard, part) if added else {}
        for phrase, pitches in added.items():
            if _hands(part, written[phrase]) and not _hands(part, written[phrase] | pitches):
                why = f"no hand position on {part.instrument.name} reaches this phrase with its ornaments"
                found.append(Breach(NAME, part.name, first[phrase], why))
    return found


RULE = Rule(NAME, breaches, post_ornaments=post)
