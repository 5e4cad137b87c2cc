"""A lead is not dull.

At most half of its moves repeat a note, each statement has a leap (a move that is no step and no repetition) unless
the figure is "steps", its notes are not all of one length, and each statement has a syncopation in the sense of
Longuet-Higgins and Lee (1984). The rhythm's demands hold where the metre and ``notes_per_bar`` leave room for them.
"""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard, Stroke
from solver.music.metre import longuet_higgins_lee
from solver.rules.passing_notes import moves_by_step
from solver.rules.rule import Breach, Onsets, Rule, literal_sum

if TYPE_CHECKING:
    from solver.search.model import PitchModel

NAME = "the lead is lively"


def statement_bars(plan: Plan, part: PartPlan) -> int:
    """Bars of one statement; the whole loop where nothing repeats."""
    return part.repeat_every or plan.bars


def statements(plan: Plan, part: PartPlan) -> range:
    """First slots of the statements."""
    return range(0, plan.slots, statement_bars(plan, part) * plan.metre.grid)


def may_syncopate(plan: Plan, part: PartPlan) -> bool:
    """Whether grid and density leave room for an off-beat note before a silent beat."""
    return plan.metre.grid > len(plan.metre.beats) and 0 < part.notes_per_bar[0] < plan.metre.grid


def is_one_length(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether all notes last the same, from onset to onset and as they sound."""
    if len(onsets) < 2:
        return False
    gaps = [b - a for a, b in zip(onsets, [*onsets[1:], plan.slots + onsets[0]], strict=True)]
    if len(set(gaps)) == 1:
        return True
    if part.rings:
        return False
    cuts = (plan.hold_end(part, onset) - onset for onset in onsets)
    return len({min(gap, part.longest, cut) for gap, cut in zip(gaps, cuts, strict=True)}) == 1


def syncopation(plan: Plan, part: PartPlan, onsets: Onsets, start: int) -> int:
    """Syncopation of the statement that begins at slot ``start``."""
    bars = statement_bars(plan, part)
    inside = [onset - start for onset in onsets if start <= onset < start + bars * plan.metre.grid]
    return longuet_higgins_lee(inside, plan.metre, bars)


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether a lead's rhythm has more than one length and a syncopation in each statement."""
    if part.role != "lead" or not may_syncopate(plan, part):
        return True
    if is_one_length(plan, part, onsets):
        return False
    return all(syncopation(plan, part, onsets, start) > 0 for start in statements(plan, part))


def post(model: PitchModel) -> None:
    """Bounds on repeated notes, and a leap in each statement."""
    plan = model.plan
    for part in plan.with_role("lead"):
        moves = list(model.moves(part))
        total = sum(len(move.times) for move in moves)
        repeated = [
            len(move.times) * arc.literal for move in moves for arc in model.arcs(move) if arc.a.top == arc.b.top
        ]
        model.cp.add(2 * literal_sum(repeated) <= total)
        if part.figure == "steps":
            continue
        for start in statements(plan, part):
            end = start + statement_bars(plan, part) * plan.metre.grid
            leaps = [
                arc.literal
                for move in moves
                for a, b in move.times[:]
                if start <= a < b < end
                for arc in model.arcs(move)
                if _leaps(plan, part, a, arc.a.top, b, arc.b.top)
            ]
            inside = [slot for slot in model.skeleton.slots[part.name] if start <= slot.onset < end]
            if len(inside) > 1:
                model.cp.add(literal_sum(leaps) >= 1)


def _leaps(plan: Plan, part: PartPlan, slot_a: int, a: int, slot_b: int, b: int) -> bool:
    return a != b and not moves_by_step(plan, part, slot_a, a, slot_b, b)


def breaches(heard: Heard) -> list[Breach]:
    """Leads that repeat, walk, or march."""
    plan, found = heard.plan, []
    for part in plan.with_role("lead"):
        strokes = heard.of(part)
        if len(strokes) < 2:
            continue
        onsets = tuple(stroke.onset for stroke in strokes)
        moves = list(heard.moves(part))
        repeated = sum(a.top == b.top for a, b in moves)
        if 2 * repeated > len(moves):
            found.append(Breach(NAME, part.name, onsets[0], f"{repeated} of {len(moves)} moves repeat the note before"))
        if may_syncopate(plan, part) and is_one_length(plan, part, onsets):
            found.append(Breach(NAME, part.name, onsets[0], "all its notes have one length"))
        for start in statements(plan, part):
            found.extend(_statement_breaches(heard, part, strokes, start))
    return found


def _statement_breaches(heard: Heard, part: PartPlan, strokes: tuple[Stroke, ...], start: int) -> list[Breach]:
    plan, found = heard.plan, []
    inside = [
        stroke for stroke in strokes if start <= stroke.onset < start + statement_bars(plan, part) * plan.metre.grid
    ]
    leaps = any(_leaps(plan, part, a.onset, a.top, b.onset, b.top) for a, b in itertools.pairwise(inside))
    if part.figure != "steps" and len(inside) > 1 and not leaps:
        found.append(Breach(NAME, part.name, start, "no leap in this statement"))
    if may_syncopate(plan, part) and syncopation(plan, part, tuple(s.onset for s in inside), start) <= 0:
        found.append(Breach(NAME, part.name, start, "no syncopation in this statement"))
    return found


RULE = Rule(NAME, breaches, post=post, admits=admits)
