"""Moves: which states they tell apart."""

from __future__ import annotations

from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.plan import PartPlan
from solver.rhythm.skeleton import skeleton_from
from solver.rules import every_rule
from solver.search.model import PitchModel
from solver.search.moves import by_kind
from solver.search.state import State
from solver.search.states import candidate_states
from tests.rules.small import plan_of

PLAN = plan_of(
    'bars = 2; chords = ["C", "Am7"]; chord_bars = 1; grid = 4',
    lead='texture = "dyads"; repeat_every = 1',
    background='texture = "chords"',
    chords="",
    low='texture = "dyads"',
)


def voicings(part: PartPlan, slot: int) -> st.SearchStrategy[tuple[State, State]]:
    """Two voicings of a slot with the same top note."""
    states = sorted(candidate_states(PLAN, part, slot), key=lambda state: state.top)
    groups = [list(group) for _, group in groupby(states, key=lambda state: state.top)]
    return st.sampled_from(groups).flatmap(lambda group: st.tuples(st.sampled_from(group), st.sampled_from(group)))


@given(st.data())
def test_no_rule_tells_moves_of_struck_chords_apart_but_by_their_top_notes(data: st.DataObject) -> None:
    part = data.draw(st.sampled_from(PLAN.parts))
    slots = data.draw(st.sampled_from([(0, 2), (3, 4), (7, 0)]))
    (a, like_a), (b, like_b) = (data.draw(voicings(part, slot)) for slot in slots)
    for rule in every_rule():
        if rule.allows_move is not None:
            one = rule.allows_move(PLAN, part, slots[0], a, slots[1], b)
            assert one == rule.allows_move(PLAN, part, slots[0], like_a, slots[1], like_b)


@pytest.mark.parametrize("role", ["chords", "lead"])
def test_an_arc_of_struck_chords_leads_from_a_top_note_to_a_top_note(role: str) -> None:
    plan = plan_of("grid = 4", **{role: 'texture = "chords"; range = "C3..C5"; notes_per_bar = [2, 2]'})
    model = PitchModel(plan, skeleton_from(plan, {role: (0, 2)}))
    part = plan.part(role)
    tops = {state.top for state in model.states(part, 0)}
    assert len(tops) < len(model.states(part, 0))
    arcs = model.arcs_between(part, 0, 1)
    assert [arc.a.pitches for arc in arcs] == [(arc.a.top,) for arc in arcs]
    assert {(arc.a.top, arc.b.top) for arc in arcs} == {
        (a, b) for a in tops for b in tops if abs(a - b) <= part.max_leap
    }


def test_a_line_keeps_its_states() -> None:
    plan = plan_of("grid = 4", lead='range = "C5..E5"', chords='figure = "broken chord"; range = "E4..E4"')
    for part in plan.parts:
        states = candidate_states(plan, part, 0)
        literals = [object() for _ in states]
        assert by_kind(part, states, literals) == (states, tuple([literal] for literal in literals))  # type: ignore[arg-type]
