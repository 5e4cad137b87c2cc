"""The parts of the benchmarks that can be wrong without anybody noticing; no time is looked at."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from unittest.mock import Mock

import pytest

from solver.brief.planning import plan_from
from solver.brief.source import source_from_text
from solver.rhythm.skeletons import skeletons
from solver.rules import every_rule
from solver.rules.rule import Breach
from solver.search.pool import NoArrangement
from tests.bench.__main__ import ALL
from tests.bench.command import ROOT, Run
from tests.bench.drawn import Drawn, drawn
from tests.bench.figure import Bench, seconds
from tests.bench.growth import with_bars
from tests.bench.machine import machine
from tests.bench.reduced import by_backtracking, by_flow, reduced_problem
from tests.bench.soak import CONFLICT, FOUND, UNDECIDED, WRONG, answer_of
from tests.export.sample_plans import TEXTS, sample_plan
from tests.search.conflicts.infeasible import BRIEFS


def test_both_solvers_solve_the_same_reduced_problem() -> None:
    plan = sample_plan("one-rope")
    skeleton = next(skeletons(plan, 0))
    reduced = reduced_problem(plan, skeleton)
    single = tuple(replace(rule, post=None) for rule in every_rule())
    for choice in (
        by_backtracking(reduced)(),
        by_flow(plan, skeleton, single)(),
        by_flow(plan, skeleton, every_rule())(),
    ):
        assert choice is not None
        assert reduced.holds(choice)
    name, states = next(iter(reduced.domains.items()))
    assert choice is not None
    assert not reduced.holds({**choice, name: replace(states[0], pitches=(0,))})


def test_the_reduced_problem_is_checked_move_by_move() -> None:
    plan = sample_plan("one-rope")
    reduced = reduced_problem(plan, next(skeletons(plan, 0)))
    choice = by_backtracking(reduced)()
    assert choice is not None
    (a, b), pairs = next((move, pairs) for move, pairs in reduced.moves.items() if move[0] != move[1])
    without = replace(reduced, moves={**reduced.moves, (a, b): pairs - {(choice[a], choice[b])}})
    assert not without.holds(choice)


def test_another_number_of_bars() -> None:
    assert with_bars('key = "A minor"\nbars   = 8\n', 32) == 'key = "A minor"\nbars = 32\n'
    with pytest.raises(ValueError, match="no line that gives its bars"):
        with_bars("chord_bars = 2\n", 4)


def test_medians_and_what_is_proved() -> None:
    figure = seconds("x", [3.0, 1.0, 9.0], "2 s")
    assert (figure.value, figure.aim, figure.spread) == ("3.00 s", "2 s", "1.00 to 9.00")
    assert seconds("x", [3.0]).spread == ""
    assert Run(1, 2, 3, (0.0, 0.01, 0.0), 6, 100).proved == 2
    told: list[str] = []
    assert Bench(2, told.append).repeated("x", lambda: len(told)) == (1, 2)
    assert told == ["x, 1 of 2", "x, 2 of 2"]


def test_the_machine_is_named() -> None:
    assert "ortools " in machine()
    assert "\n" not in machine()


def test_every_figure_is_measured_somewhere() -> None:
    assert all(find_spec(f"tests.bench.{module}") for module in ALL.values())


@pytest.mark.parametrize("arguments", [["loudness"], ["--repeat", "0"]])
def test_a_wrong_command_line_measures_nothing(arguments: list[str]) -> None:
    done = subprocess.run([sys.executable, "-m", "tests.bench", *arguments], cwd=ROOT, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (2, "")


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


def test_the_soak_tells_conflicts_and_what_is_undecided(monkeypatch: pytest.MonkeyPatch) -> None:
    one = Drawn(*BRIEFS["a lead of one pitch"].read(), 0)
    refusal = NoArrangement("nothing", 0, one.plan, tuple(islice(skeletons(one.plan, 0), 2)), False)
    monkeypatch.setattr("tests.bench.soak.arrange", Mock(side_effect=refusal))
    assert answer_of(one).kind == CONFLICT
    monkeypatch.setattr("tests.bench.soak.explain", lambda source, plan, none: None)
    assert answer_of(one).kind == WRONG
    monkeypatch.setattr("tests.bench.soak.arrange", Mock(side_effect=NoArrangement("nothing", 1)))
    assert answer_of(one).kind == UNDECIDED


def test_a_number_stands_for_a_valid_brief() -> None:
    texts = [drawn(1, number).source.text for number in range(6)]
    assert texts == [drawn(1, number).source.text for number in range(6)]
    assert len(set(texts)) == 6
    assert drawn(2, 0).source.text not in texts
