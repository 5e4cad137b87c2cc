"""Solving one skeleton: the best there is, proved, the same each time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from solver.check import breaches
from solver.heard import Heard
from solver.rhythm.skeleton import skeleton_from
from solver.search.model import PitchModel
from solver.search.scale import scale_for
from solver.search.solve import Watch, rhythm_worth, solve_skeleton
from tests.rules.small import plan_of
from tests.search.counting import by_model
from tests.search.fixing import arrangement_of
from tests.search.small_loops import LOOPS

BRUTE = (
    "a lead alone",
    "a lead and a low part under its returns",
    "a lead in dyads that repeats over another chord",
    "a broken chord under two chords",
    "struck chords that enclose the background",
    "a background with the tone that is missing",
    "a slash chord",
    "a waltz",
)


@pytest.fixture
def watch() -> Iterator[Watch]:
    watching = Watch(lambda: False)
    yield watching
    watching.close()


@pytest.mark.parametrize("name", BRUTE)
def test_the_best_of_all_solutions_is_found_and_proved(name: str, watch: Watch) -> None:
    """Every solution is read and counted by the plain merits; none has a higher total than the proven best."""
    plan = LOOPS[name].plan()
    skeleton = LOOPS[name].skeleton(plan)
    told: list[int] = []
    solved = solve_skeleton(plan, skeleton, watch, found=lambda total, scale, notes: told.append(total))
    scale = scale_for(plan, skeleton, plan.weights)
    names = [part.name for part in plan.parts]
    totals = []
    for lines in by_model(plan, skeleton):
        music = Heard(plan, arrangement_of(plan, skeleton, dict(zip(names, lines, strict=True))))
        totals.append(scale.total(scale.counts(music)))
    assert solved.arrangement is not None
    assert (solved.total, solved.bound, solved.proved, solved.decided) == (max(totals), max(totals), True, True)
    assert breaches(plan, solved.arrangement) == []
    assert scale.total(scale.counts(Heard(plan, solved.arrangement))) == solved.total
    assert told == sorted(told)
    assert told[-1] == solved.total
    assert solved.scale == scale


def test_the_same_twice(watch: Watch) -> None:
    plan = LOOPS["a counter"].plan()
    skeleton = LOOPS["a counter"].skeleton(plan)
    assert solve_skeleton(plan, skeleton, watch) == solve_skeleton(plan, skeleton, watch)


def test_a_rhythm_without_a_solution(watch: Watch) -> None:
    plan = LOOPS["a lead alone"].plan()
    narrow = replace(plan, parts=tuple(replace(part, high=part.low + 2) for part in plan.parts))
    solved = solve_skeleton(narrow, LOOPS["a lead alone"].skeleton(narrow), watch)
    assert (solved.arrangement, solved.proved, solved.decided) == (None, False, True)


def test_a_slot_without_a_state(watch: Watch) -> None:
    """No note of the chord lies in the range, so a strong beat is left without any."""
    plan = LOOPS["a lead alone"].plan()
    none = replace(plan, parts=tuple(replace(part, low=69, high=70) for part in plan.parts))
    solved = solve_skeleton(none, LOOPS["a lead alone"].skeleton(none), watch)
    assert (solved.arrangement, solved.proved, solved.decided) == (None, False, True)


def test_what_is_posted_besides_the_rules_holds(watch: Watch) -> None:
    plan = LOOPS["a counter"].plan()
    skeleton = LOOPS["a counter"].skeleton(plan)

    def start_on_e(model: PitchModel) -> None:
        model.cp.add_bool_or(model.literals(plan.part("lead"), 0, lambda state: state.top == 76))

    free, bound = solve_skeleton(plan, skeleton, watch), solve_skeleton(plan, skeleton, watch, extra=start_on_e)
    assert bound.arrangement is not None
    assert bound.arrangement.part("lead")[0].pitch == 76
    assert bound.total <= free.total


def test_a_limit_too_short_to_decide(watch: Watch) -> None:
    plan = LOOPS["a lead that may vary or not"].plan()
    solved = solve_skeleton(plan, LOOPS["a lead that may vary or not"].skeleton(plan), watch, limit=1e-9)
    assert (solved.arrangement, solved.proved, solved.decided) == (None, False, False)


def test_a_watch_that_is_due_ends_the_search() -> None:
    watch = Watch(lambda: True)
    try:
        while not watch.stopped:
            pass
        plan = LOOPS["a counter"].plan()
        solved = solve_skeleton(plan, LOOPS["a counter"].skeleton(plan), watch)
        assert (solved.arrangement, solved.decided) == (None, False)
    finally:
        watch.close()


def test_a_watch_that_is_due_ends_the_building(watch: Watch) -> None:
    plan = LOOPS["a counter"].plan()

    def call_it_a_day(model: PitchModel) -> None:
        watch.stopped = True

    solved = solve_skeleton(plan, LOOPS["a counter"].skeleton(plan), watch, extra=call_it_a_day)
    assert (solved.arrangement, solved.decided, solved.scale) == (None, False, None)


def test_what_the_rhythm_decides_is_counted_once() -> None:
    plan = LOOPS["a counter"].plan()
    skeleton = LOOPS["a counter"].skeleton(plan)
    scale = scale_for(plan, skeleton, plan.weights)
    rhythmic = [entry for entry in scale.measured if entry.merit.measure_rhythm is not None]
    assert len(rhythmic) >= 2
    total = sum(
        entry.worth(entry.merit.measure_rhythm(plan, skeleton.onsets))
        for entry in rhythmic
        if entry.merit.measure_rhythm is not None
    )
    assert rhythm_worth(plan, scale, skeleton) == total


def test_many_slots_are_solved_in_turns_with_the_same_result(watch: Watch, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = LOOPS["a counter"].plan()
    skeleton = LOOPS["a counter"].skeleton(plan)
    alone = solve_skeleton(plan, skeleton, watch)
    monkeypatch.setattr("solver.search.solve.MANY", 0)
    turns = [solve_skeleton(plan, skeleton, watch) for _ in range(2)]
    assert turns[0] == turns[1]
    assert (turns[0].total, turns[0].bound, turns[0].proved) == (alone.total, alone.bound, True)


def test_a_chord_without_any_voicing_is_refused(watch: Watch) -> None:
    plan = plan_of('chords = ["G#m7b5"]; grid = 4', chords='texture = "chords"; range = "E4..B4"', low="")
    skeleton = skeleton_from(plan, {"chords": (0, 2), "low": (0,)})
    solved = solve_skeleton(plan, skeleton, watch)
    assert (solved.arrangement, solved.decided) == (None, True)
