"""As many ornaments as the brief wants: none, few (one in four bars) or many (up to one a bar), in each statement.

Where they are wanted and a statement has none, none can be added without breaking another rule. Bars are counted up:
a statement of five bars has few at two. What is few and what is many are settings of our own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.ornaments import FEW, KINDS, MANY
from solver.ornaments import with_following
from solver.rules import mordent, ornament_clear, ornament_hand, ornament_repeats, ornaments_apart, run, trill
from solver.rules.rule import Breach, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.ornaments import OrnamentModel

NAME = "as many ornaments as the brief wants"
BARS_FOR_ONE = {FEW: 4, MANY: 1}
OTHERS = (trill, mordent, run, ornament_clear, ornament_hand, ornaments_apart, ornament_repeats)


def statement_slots(plan: Plan, part: PartPlan) -> int:
    """Slots of a statement; of the loop where the part does not repeat."""
    return (part.repeat_every or plan.bars) * plan.metre.grid


def most(plan: Plan, part: PartPlan) -> int:
    """Ornaments that a statement may have."""
    bars = BARS_FOR_ONE.get(part.ornaments)
    return -(-(part.repeat_every or plan.bars) // bars) if bars else 0


def post(model: OrnamentModel) -> None:
    """At most so many of a part's choices: each is in the first statement once. That there are any is the objective."""
    for part in model.heard.plan.parts:
        choices = model.of(part)
        if choices:
            model.cp.add(literal_sum([choice.literal for choice in choices]) <= most(model.heard.plan, part))


def breaches(heard: Heard) -> list[Breach]:
    """Statements with too many ornaments, and statements without one that could have one."""
    plan, found = heard.plan, []
    for part in plan.parts:
        notes = heard.arrangement.part(part.name)
        size = statement_slots(plan, part)
        for start in range(0, plan.slots, size):
            count = sum(note.ornament is not None for note in notes if start <= note.onset < start + size)
            if count > most(plan, part):
                why = f"{count} ornaments where the brief wants {part.ornaments}: at most {most(plan, part)}"
                found.append(Breach(NAME, part.name, start, why))
        if most(plan, part) and not any(note.ornament for note in notes if note.onset < size):
            possible = _possible(heard, part)
            if possible:
                why = f"the brief wants {part.ornaments} ornaments, and here a {possible.ornament} is possible"
                found.append(Breach(NAME, part.name, possible.onset, why))
    return found


def _possible(heard: Heard, part: PartPlan) -> Note | None:
    """A note of the first statement with an ornament that breaks no other rule; None where there is none."""
    plan = heard.plan
    before = _broken(heard)
    for note, _ in with_following(plan, heard.arrangement.part(part.name)):
        if plan.home_slot(part, note.onset) != note.onset:
            continue
        for kind in KINDS:
            if len(_broken(Heard(plan, decorate(plan, part, heard.arrangement, note, kind)))) <= len(before):
                return replace(note, ornament=kind)
    return None


def _broken(heard: Heard) -> list[Breach]:
    return [breach for module in OTHERS for breach in module.RULE.breaches(heard)]


def decorate(plan: Plan, part: PartPlan, arrangement: Arrangement, first: Note, kind: str) -> Arrangement:
    """The arrangement with one more ornament, on a note of the first statement and all that repeat it."""
    chosen = set(ornament_repeats.sharers(plan, part, arrangement.part(part.name), first, kind))
    return Arrangement(tuple(replace(note, ornament=kind) if note in chosen else note for note in arrangement.notes))


RULE = Rule(NAME, breaches, post_ornaments=post)
