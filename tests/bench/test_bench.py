"""The parts of the benchmarks that can be wrong without anybody noticing; no time is looked at."""

from __future__ import annotations

import ctypes
import sys
from dataclasses import replace
from importlib.util import find_spec
from itertools import islice, product
from pathlib import Path
from random import Random
from unittest.mock import Mock

import pytest
from ortools.sat.python import cp_model

from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.source import source_from_text
from solver.music.chords import parse_chord
from solver.rhythm.skeleton import Skeleton, skeleton_from
from solver.rhythm.skeletons import skeletons
from solver.rules.rule import Breach
from solver.search.model import PitchModel
from solver.search.outcome import NoArrangement, Outcome
from solver.search.scale import scale_for
from solver.search.solve import post_objective
from solver.study.roughness import roughness
from tests.bench.__main__ import ALL, main
from tests.bench.allocated import empty_caches, in_use
from tests.bench.command import MEGABYTE, Run, covered
from tests.bench.drawn import Drawn, drawn
from tests.bench.figure import Bench, seconds
from tests.bench.growth import with_bars
from tests.bench.machine import machine
from tests.bench.model_size import WAYS, copies, of_model, solved
from tests.bench.reduced import LIMIT, Disagree, agreed, ratio
from tests.bench.side_by_side import backtracking, flow, gecode, textbook, viterbi
from tests.bench.side_by_side.problem import reduced_plan, reduced_problem, reduced_rules
from tests.bench.side_by_side.runs import Run as Solved
from tests.bench.soak import CONFLICT, FOUND, LEAKING, STEEPEST, UNDECIDED, WRONG, answer_of, growth
from tests.export.sample_plans import TEXTS
from tests.rules.small import plan_of
from tests.search.conflicts.infeasible import BRIEFS
from tests.search.small_loops import LOOPS


@pytest.fixture(scope="module")
def tiny() -> tuple[Plan, Skeleton]:
    plan = plan_of(
        'grid = 4; key = "A minor"; chords = ["Am"]',
        lead='range = "A4..E5"',
        middle='role = "background"; range = "C4..A4"',
        low='range = "A2..E3"',
    )
    return reduced_plan(plan), skeleton_from(plan, {"lead": (0, 2, 3), "middle": (1,), "low": (0, 2)})


def test_all_solvers_find_the_same_best_of_the_reduced_problem(tiny: tuple[Plan, Skeleton]) -> None:
    reduced = reduced_problem(*tiny)
    firsts, bests = ([run] for run in flow.solve(*tiny, reduced, LIMIT))
    for solve in (backtracking.solve, textbook.solve):
        firsts.append(solve(reduced, LIMIT, first=True))
        bests.append(solve(reduced, LIMIT, first=False))
    assert all(run.proved and run.total == bests[0].total for run in bests)
    assert bests[0].total is not None
    assert all(run.total is not None and run.total <= bests[0].total for run in firsts)
    assert viterbi.bound(reduced, tiny[1]) >= bests[0].total


@pytest.mark.minizinc
def test_minizinc_finds_the_same_best_too(tiny: tuple[Plan, Skeleton]) -> None:
    reduced = reduced_problem(*tiny)
    first, best = (gecode.solve(reduced, LIMIT, first=wanted) for wanted in (True, False))
    assert best.proved
    assert best.total == textbook.solve(reduced, LIMIT, first=False).total
    assert first.total is not None


def test_the_reduced_problem_is_the_model_with_fewer_rules(tiny: tuple[Plan, Skeleton]) -> None:
    """Every solution of the model is one of the plain data, and the other way round."""
    reduced = reduced_problem(*tiny)
    every = (dict(zip(reduced.domains, values, strict=True)) for values in product(*reduced.domains.values()))
    held = {tuple(choice.values()) for choice in every if reduced.holds(choice)}
    model = PitchModel(*tiny, reduced_rules())
    found: set[tuple[int, ...]] = set()

    class Each(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            states = model.read(self.value)
            found.add(tuple(state.top for part in tiny[0].parts for state in states[part.name]))

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    solver.solve(model.cp, Each())
    assert found == held
    assert held


def test_a_ratio_is_refused_where_the_best_differ() -> None:
    ours, other = Solved(900, 1.0, proved=True), Solved(901, 2.0, proved=True)
    assert ratio({"this program": ours, "x": other}, lambda run: run.proved) == "2.0 times"
    with pytest.raises(Disagree):
        agreed({"this program": ours, "x": other})
    with pytest.raises(Disagree):
        agreed({"this program": ours, "x": replace(other, proved=False)})
    agreed({"this program": ours, "x": Solved(800, 30.0, proved=False)})
    assert ratio({"this program": ours, "x": Solved(800, 30.0, proved=False)}, lambda run: run.proved).startswith(
        "over 30"
    )


def test_another_number_of_bars() -> None:
    assert with_bars('key = "A minor"\nbars   = 8\n', 32) == 'key = "A minor"\nbars = 32\n'
    with pytest.raises(ValueError, match="no line that gives its bars"):
        with_bars("chord_bars = 2\n", 4)


def test_medians_and_what_is_proved() -> None:
    figure = seconds("x", [3.0, 1.0, 9.0], "2 s")
    assert (figure.value, figure.aim, figure.spread) == ("3.00 s", "2 s", "1.00 to 9.00")
    assert seconds("x", [3.0]).spread == ""
    assert Run(1, 2, 3, (0.0, 0.01, 0.0), 6, 100, 0.5, 2).proved == 2


def test_spans_that_overlap_are_counted_once() -> None:
    assert covered([(1.0, 3.0), (2.0, 2.5), (2.0, 4.0), (6.0, 7.0)]) == 4.0
    assert covered([]) == 0.0
    told: list[str] = []
    assert Bench(2, told.append).repeated("x", lambda: len(told)) == (1, 2)
    assert told == ["x, 1 of 2", "x, 2 of 2"]


def test_the_machine_is_named() -> None:
    assert "ortools " in machine()
    assert "\n" not in machine()


def test_every_figure_is_measured_somewhere() -> None:
    assert all(find_spec(f"tests.bench.{module}") for module in ALL.values())


@pytest.mark.parametrize("arguments", [["loudness"], ["--repeat", "0"]])
def test_a_wrong_command_line_measures_nothing(
    arguments: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["tests.bench", *arguments])
    with pytest.raises(SystemExit) as ended:
        main()
    assert (ended.value.code, capsys.readouterr().out) == (2, "")


def test_the_soak_tells_what_came_of_a_brief(monkeypatch: pytest.MonkeyPatch) -> None:
    source, findings = source_from_text(TEXTS["one-rope"], Path("one-rope.toml"))
    assert not findings.found
    one = Drawn(source, plan_from(source), 0)
    assert answer_of(one).kind == FOUND
    monkeypatch.setattr("tests.bench.soak.breaches", lambda plan, arrangement: [Breach("a rule", None, 0, "broken")])
    broken = answer_of(one)
    assert broken.kind == WRONG
    assert broken.words.startswith("a rule: bar 1, beat 1: broken")
    monkeypatch.setattr("tests.bench.soak.arrange", lambda plan, **options: 1 / 0)
    assert "ZeroDivisionError" in answer_of(one).words


def test_the_soak_tells_memory_that_grows_from_memory_that_is_flat() -> None:
    def after(slope: float, most: float) -> str:
        # The first half, in which all is loaded, does not count.
        steps = [10 * step for step in range(1, 31)]
        return growth("x", [(n, 100 + slope * n + (60 if n < 100 else n % 20 / 10)) for n in steps], most).value

    assert after(0, STEEPEST).endswith("flat")
    assert after(0.9 * STEEPEST / 100, STEEPEST).endswith("flat")
    assert after(1.1 * STEEPEST / 100, STEEPEST) == f"{1.1 * STEEPEST:+.2f} MB, grows"
    fifty_kilobytes = 0.05
    assert after(fifty_kilobytes, LEAKING) == "+5.00 MB, grows"
    assert after(fifty_kilobytes / 2, LEAKING) == "+2.50 MB, grows"
    # What moves by chance, as what is resident does, hides no leak in what is in use and makes none.
    chance = [Random(7).uniform(-0.3, 0.3) for _ in range(30)]
    for leak, verdict in ((0.0, "flat"), (fifty_kilobytes, "grows")):
        memory = [(10 * n, 30 + chance[n] + leak * 10 * n) for n in range(30)]
        assert growth("x", memory, LEAKING).value.endswith(verdict)


def test_what_is_in_use_is_told_to_some_kilobytes() -> None:
    before = in_use()
    objects = [(number,) for number in range(50_000, 100_000)]
    with_objects = in_use() - before
    assert with_objects == pytest.approx(50_000 * (48 + 32 + 8) / MEGABYTE, rel=0.1)  # tuple, number, its place
    del objects
    assert in_use() == pytest.approx(before, abs=0.2)
    if hasattr(ctypes.CDLL(None), "mallinfo2"):
        blocks = [bytearray(50_000) for _ in range(40)]
        assert in_use() - before == pytest.approx(40 * 50_000 / MEGABYTE, abs=0.2)
        assert blocks


def test_caches_are_emptied_that_have_a_bound() -> None:
    parse_chord("Am")
    roughness(60, 61)
    empty_caches()
    assert parse_chord.cache_info().currsize == 0
    assert roughness.cache_info().currsize > 0


def test_the_soak_tells_conflicts_and_what_is_undecided(monkeypatch: pytest.MonkeyPatch) -> None:
    one = Drawn(*BRIEFS["a lead of one pitch"].read(), 0)
    refusal = NoArrangement("nothing", 0, one.plan, tuple(islice(skeletons(one.plan, 0), 2)), False)
    monkeypatch.setattr("tests.bench.soak.arrange", Mock(side_effect=refusal))
    assert answer_of(one).kind == CONFLICT
    monkeypatch.setattr("tests.bench.soak.explain", lambda source, plan, none: None)
    assert answer_of(one).kind == WRONG
    monkeypatch.setattr("tests.bench.soak.PATIENCE", -1)
    assert answer_of(one).kind == UNDECIDED
    monkeypatch.setattr("tests.bench.soak.arrange", Mock(return_value=Outcome((), 1, 0, False, True)))
    assert answer_of(one).kind == UNDECIDED
    monkeypatch.setattr("tests.bench.soak.arrange", Mock(side_effect=NoArrangement("nothing", 1)))
    assert answer_of(one).kind == UNDECIDED


def test_a_number_stands_for_a_valid_brief() -> None:
    texts = [drawn(1, number).source.text for number in range(6)]
    assert texts == [drawn(1, number).source.text for number in range(6)]
    assert len(set(texts)) == 6
    assert drawn(2, 0).source.text not in texts


@pytest.mark.parametrize("way", WAYS)
def test_a_model_that_is_not_cut_has_the_same_best(way: str) -> None:
    loop = LOOPS["a lead and a low part under its returns"]
    plan = loop.plan()
    model, cut = PitchModel(plan, loop.skeleton(plan), WAYS[way]()), PitchModel(plan, loop.skeleton(plan))
    for posed in (model, cut):
        post_objective(posed, scale_for(plan, posed.skeleton, plan.weights))
    more = len(model.cp.proto.variables) - len(cut.cp.proto.variables)
    assert more > 0 if way == "states uncut" else more >= 0
    best = solved(cut)
    assert best is not None
    assert best.proof.startswith("proved")
    for again in (solved(model), solved(model, best.states)):
        assert again is not None
        assert again.total == best.total


def test_a_model_that_takes_too_long_to_build_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = plan_of("grid = 4", lead="", low="")
    monkeypatch.setattr("tests.bench.model_size.PATIENCE", -1.0)
    for rules in WAYS.values():
        assert of_model("a name", plan, rules()).value.startswith("not built within")


def test_a_rhythm_turned_by_a_pass_is_a_copy(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = plan_of("bars = 2; chord_bars = 1; grid = 4", lead="", low="")
    rhythms = [{"lead": (0, 5), "low": (0,)}, {"lead": (1, 4), "low": (4,)}, {"lead": (0, 6), "low": (0,)}]
    found = [skeleton_from(plan, onsets) for onsets in rhythms]
    monkeypatch.setattr("tests.bench.model_size.skeletons", lambda plan, seed: iter(found))
    assert copies(plan).value == "1"
