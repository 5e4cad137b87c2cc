"""The pitch model: states, moves, shared literals and lookups."""

from __future__ import annotations

from random import Random

import pytest

from solver.rhythm.skeleton import skeleton_from
from solver.search.cp_sat import cp_model
from solver.search.model import NoState, PitchModel, Stopped
from solver.search.notes import arrangement_from
from solver.search.state import State
from solver.search.states import candidate_states
from tests.rules.small import plan_of
from tests.search.fixing import any_solution
from tests.search.small_loops import LOOPS

TWO = 'bars = 2; chords = ["C", "F"]; chord_bars = 1; grid = 4'
LEAD = 'range = "C5..G5"; repeat_every = 1; vary_notes = [0, 1]'


def model(top: str, onsets: dict[str, tuple[int, ...]], **parts: str) -> PitchModel:
    plan = plan_of(top, **parts)
    return PitchModel(plan, skeleton_from(plan, onsets))


def test_candidates_of_a_line_are_its_range() -> None:
    plan = plan_of(lead='range = "C5..E5"')
    assert candidate_states(plan, plan.part("lead"), 0) == tuple(State((pitch,)) for pitch in range(72, 77))


def test_candidates_of_a_broken_chord_have_places() -> None:
    plan = plan_of(lead='figure = "broken chord"; range = "E4..E4"')
    places = [state.places for state in candidate_states(plan, plan.part("lead"), 0)]
    assert places == [((1, 0),), ((2, 5),), ((3, 9),), ((4, 14),), ((5, 19),)]


def test_candidates_of_struck_chords_are_voicings_of_the_chord_that_sounds() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', chords='range = "C4..C5"')
    part = plan.part("chords")
    assert {pitch % 12 for state in candidate_states(plan, part, 0) for pitch in state.pitches} == {0, 4, 7}
    assert {pitch % 12 for state in candidate_states(plan, part, 16) for pitch in state.pitches} == {5, 9, 0}


def test_states_keep_the_rules_of_one_note() -> None:
    built = model(TWO, {"lead": (0, 1, 4, 5)}, lead='range = "C5..G5"; notes_per_bar = [2, 2]; repeat_every = 2')
    lead = built.plan.part("lead")
    tops = [[state.top for state in built.states(lead, index)] for index in range(4)]
    assert tops == [[72, 76, 79], [72, 74, 76, 77, 79], [72, 77], [72, 74, 76, 77, 79]]


def test_a_repeat_shares_its_literals() -> None:
    built = model(TWO, {"lead": (0, 1, 4, 5)}, lead='range = "C5..G5"; repeat_every = 1; vary_notes = [0, 0]')
    lead = built.plan.part("lead")
    for first, second in ((0, 2), (1, 3)):
        one, other = (built.literals(lead, index, lambda state: True) for index in (first, second))
        assert [literal.index for literal in one] == [literal.index for literal in other]
    # Over F, C is a chord tone and G a scale note with no chord tone a semitone below; so is E.
    assert [state.top for state in built.states(lead, 0)] == [72, 76, 79]
    assert {(move.a, move.b): move.times for move in built.moves(lead)} == {
        (0, 1): ((0, 1), (4, 5)),
        (1, 0): ((1, 4), (5, 0)),
    }


def test_the_varied_bar_has_literals_of_its_own() -> None:
    built = model(TWO, {"lead": (0, 1, 4, 5)}, lead=LEAD)
    lead = built.plan.part("lead")
    one, other = (built.literals(lead, index, lambda state: True) for index in (0, 2))
    assert {literal.index for literal in one}.isdisjoint(literal.index for literal in other)


def test_arcs_are_the_moves_that_rules_allow() -> None:
    built = model("grid = 4", {"lead": (0, 1, 2)}, lead='range = "C5..G5"; notes_per_bar = [3, 3]')
    lead = built.plan.part("lead")
    arcs = {(arc.a.top, arc.b.top) for arc in built.arcs_between(lead, 0, 1)}
    assert arcs == {
        *((a, b) for a in (72, 76, 79) for b in (72, 76, 79)),  # between chord tones
        *((72, 74), (76, 74), (76, 77), (79, 77)),  # to other notes by step
    }
    assert [(move.a, move.b) for move in built.moves(lead)] == [(0, 1), (1, 2), (2, 0)]


def test_a_lone_note_has_no_moves() -> None:
    built = model("grid = 4", {"lead": (0, 1, 2), "low": (0,)}, lead="notes_per_bar = [3, 3]", low="")
    assert built.moves(built.plan.part("low")) == ()


def test_slots_that_sound_in_a_chords_time() -> None:
    built = model(TWO, {"lead": (0, 1, 4, 5)}, lead='range = "C5..G5"; repeat_every = 1; vary_notes = [0, 0]')
    lead = built.plan.part("lead")
    assert [built.homes_in_span(lead, span) for span in built.plan.spans] == [[0, 1], [0, 1]]
    assert built.pitch_classes(lead, built.plan.spans[1]) == [0, 2, 4, 5, 7]


def test_slots_that_one_hand_holds() -> None:
    top = 'bars = 4; chords = ["C", "Am"]; chord_bars = [3, 1]; grid = 4'
    lead = 'range = "C4..C5"; figure = "broken chord"; repeat_every = 2; vary_notes = [0, 0]'
    built = model(top, {"lead": (0, 1, 5, 6, 8, 9, 13, 14)}, lead=lead)
    assert built.held_together(built.plan.part("lead")) == [(0, 1), (2, 3)]


def test_a_slot_without_a_state() -> None:
    with pytest.raises(NoState, match="lead, bar 1, beat 1"):
        model("grid = 4", {"lead": (0,)}, lead='range = "A4..B4"')


@pytest.mark.parametrize("steps", [1, 4])
def test_the_building_ends_when_it_is_stopped(steps: int) -> None:
    plan = plan_of("grid = 4", lead='range = "C5..G5"; notes_per_bar = [3, 3]')
    asked = iter([False] * (steps - 1) + [True])
    with pytest.raises(Stopped):
        PitchModel(plan, skeleton_from(plan, {"lead": (0, 1, 2)}), stopped=lambda: next(asked))


def test_what_two_slots_lose_is_counted() -> None:
    plan = plan_of("grid = 4", lead='range = "C5..C5"', background='range = "C4..G4"')
    built = PitchModel(plan, skeleton_from(plan, {"lead": (0,), "background": (0,)}), rules=())
    lead, background = plan.part("lead"), plan.part("background")
    lost = built.lost((lead, 0), (background, 0), lambda high, low: max(0, high.top - low.top - 6))
    built.cp.maximize(-sum(lost))
    solver = cp_model.CpSolver()
    assert solver.solve(built.cp) == cp_model.OPTIMAL
    assert (len(lost), solver.objective_value) == (6, 0)
    assert built.read(solver.value)["background"][0].top >= 66


def test_a_solution_is_read_slot_by_slot() -> None:
    loop = LOOPS["a lead and a low part under its returns"]
    plan = loop.plan()
    arrangement = any_solution(PitchModel(plan, loop.skeleton(plan)), Random(1))
    assert arrangement is not None
    assert [(note.onset, note.length) for note in arrangement.part("lead")] == [(0, 2), (2, 2), (4, 2), (6, 2)]
    assert [(note.onset, note.length) for note in arrangement.part("low")] == [(0, 2), (2, 2), (4, 4)]


def test_a_ringing_note_ends_where_its_pitch_starts_again() -> None:
    plan = plan_of("grid = 4", lead='figure = "broken chord"')
    skeleton = skeleton_from(plan, {"lead": (0, 1, 2, 3)})
    states = tuple(
        State((pitch,), ((string, fret),)) for pitch, string, fret in ((60, 2, 1), (64, 1, 0), (60, 2, 1), (55, 3, 0))
    )
    notes = arrangement_from(plan, skeleton, {"lead": states}).notes
    assert [(note.onset, note.length, note.pitch, note.string, note.fret) for note in notes] == [
        (0, 2, 60, 2, 1),
        (1, 3, 64, 1, 0),
        (2, 2, 60, 2, 1),
        (3, 1, 55, 3, 0),
    ]
