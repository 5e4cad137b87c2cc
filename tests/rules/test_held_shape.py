"""A broken chord is one held shape."""

from __future__ import annotations

from itertools import product
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

from ortools.sat.python import cp_model

from solver.music.fretboard import FINGERS, Place, fingers
from solver.rules.held_shape import RULE, post_fingers
from tests.rules.small import found, plan_of

if TYPE_CHECKING:
    from solver.search.model import PitchModel

ONE = plan_of("bars = 2", lead='figure = "broken chord"; range = "E2..C6"')
TWO = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', lead='figure = "broken chord"; range = "E2..C6"')


def test_a_chord_of_the_open_position() -> None:
    assert found(RULE, ONE, lead="C3 E3 G3 C4 | E4 C4 G3 E3") == []


def test_strings_that_are_no_neighbours() -> None:
    """C3 lies on one of the two lowest strings, C5 on one of the two highest."""
    assert found(RULE, ONE, lead="C3 . C5 . | C3 . . .") == [("lead", 0)]


def test_wider_than_a_hand() -> None:
    assert found(RULE, ONE, lead=". G4 C6 . | . . . .") == [("lead", 4)]


def test_the_hand_may_move_with_the_chord() -> None:
    assert found(RULE, TWO, lead="C3 E3 G3 C4 | F3 A3 C4 F4") == []
    assert found(RULE, ONE, lead="C3 E3 G3 C4 | F3 A3 C4 F4") == [("lead", 0)]


def test_a_repeat_cuts_the_hold_where_any_statement_changes_chord() -> None:
    plan = plan_of(
        'bars = 4; chords = ["C", "F"]; chord_bars = [3, 1]',
        lead='figure = "broken chord"; range = "E2..C6"; repeat_every = 2',
    )
    assert [plan.hold_end(plan.part("lead"), slot) for slot in (0, 16, 32, 48)] == [16, 32, 48, 64]
    line = "C3 E3 G3 C4 | F3 A3 C4 F4"
    assert found(RULE, plan, lead=f"{line} | {line}") == []


def test_other_lines_move_freely() -> None:
    assert found(RULE, plan_of(lead=""), lead="C3 C5") == []


def test_a_repeat_keeps_the_strings_of_its_first_statement() -> None:
    """G5, D5, B flat 4 and A4 lie on strings 1 to 4; a repeat without D5 would leave string 2 out.

    By itself, G5, B flat 4 and A4 can be held on strings 1 to 3.
    """
    keys = 'figure = "broken chord"; range = "F4..A5"; notes_per_bar = [1, 5]'
    top = 'key = "G minor"; meter = "3/4"; grid = 6; bars = 4; chords = ["Gmadd9"]; chord_bars = 4'
    plan = plan_of(top, lead=f"{keys}; repeat_every = 2; vary_notes = [0, 1]")
    first = "G5 . Bb4 Bb4 G5 . | . Bb4 A4 D5 . ."
    assert found(RULE, plan, lead=f"{first} | {first}") == []
    varied = "G5 . Bb4 Bb4 G5 . | . Bb4 A4 A4 . ."
    assert found(RULE, plan, lead=f"{first} | {varied}") == [("lead", 12)]
    assert found(RULE, plan, lead=f"{varied} | {varied}") == []


def test_the_model_counts_fingers_as_the_fretboard_does() -> None:
    """Of all ways to hold at most one fret on each of five strings, those that four fingers can press."""
    model = SimpleNamespace(cp=cp_model.CpModel())
    rows = [[(string, fret) for fret in (0, 1, 2, 3) if (string, fret) != (3, 0)] for string in range(1, 6)]
    hold = {place: model.cp.new_bool_var("") for row in rows for place in row}
    for row in rows:
        model.cp.add_at_most_one(hold[place] for place in row)
    post_fingers(cast("PitchModel", model), hold)
    shapes = [tuple(place for place in shape if place) for shape in product(*([None, *row] for row in rows))]
    found = _solutions(model.cp, hold)
    assert sorted(found) == sorted(shape for shape in shapes if fingers(shape) <= FINGERS)
    assert len(found) < len(shapes)


def _solutions(cp: cp_model.CpModel, hold: dict[Place, cp_model.IntVar]) -> list[tuple[Place, ...]]:
    found: list[tuple[Place, ...]] = []

    class Each(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            found.append(tuple(place for place, literal in hold.items() if self.value(literal)))

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    assert solver.solve(cp, Each()) == cp_model.OPTIMAL
    return found
