"""What holds for all merits: both halves count the same, none is better than the best, every sentence says something.

Each example is a small brief and rhythm drawn at random, with pitches that keep all rules.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

import solver.merits
from solver.heard import Heard
from solver.merits import every_merit
from solver.merits.merit import Reward
from solver.search.model import PitchModel
from tests.search.fixing import LIMIT, Line, any_solution, arrangement_of, fixed, lines_of, model_of, variable_in
from tests.search.halves import random_lines
from tests.search.random_briefs import random_case

MERITS = Path(solver.merits.__file__).parent
NO_MERITS = {"__init__", "merit", "meetings"}


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=28, deadline=None)
def test_both_halves_count_the_same(seed: int) -> None:
    heard, model, other = random_music(seed)
    merits = [merit for merit in every_merit() if merit.applies(heard.plan)]
    rewards = {merit.name: merit.reward(model) for merit in merits if merit.reward is not None}
    modelled = at_best(model, lines_of(heard.plan, heard.arrangement), rewards)
    for merit in merits:
        count = merit.measure(heard)
        if merit.measure_rhythm is not None:
            modelled[merit.name] = merit.measure_rhythm(heard.plan, model.skeleton.onsets)
        assert (merit.name, modelled[merit.name]) == (merit.name, count)
        assert count <= merit.best(heard), merit.name
        assert merit.best(heard) == merit.best(other), merit.name
        sentence = merit.sentence(heard)
        assert sentence == sentence.strip() != ""
        assert "\n" not in sentence


def random_music(seed: int) -> tuple[Heard, PitchModel, Heard]:
    """Small music that keeps all rules, the model that allows it, and any pitches in the same rhythm.

    The example is left out where no pitches keep all rules.
    """
    random = Random(seed)
    case = random_case(random)
    assume(case is not None)
    assert case is not None
    model = model_of(case.plan, case.skeleton)
    assume(model is not None)
    assert model is not None
    arrangement = any_solution(model, random)
    assume(arrangement is not None)
    assert arrangement is not None
    other = arrangement_of(case.plan, case.skeleton, random_lines(random, case))
    return Heard(case.plan, arrangement), model, Heard(case.plan, other)


def at_best(model: PitchModel, lines: dict[str, Line], rewards: dict[str, Reward]) -> dict[str, int]:
    """The most that each reward reaches once the pitches are fixed: none shares a variable that is still free."""
    clone, known = fixed(model, lines)
    assert known
    terms = [term for reward in rewards.values() for term in reward.terms]
    variables = [variable_in(clone, variable) for _, variable in terms]
    clone.maximize(cp_model.LinearExpr.weighted_sum(variables, [coefficient for coefficient, _ in terms]))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = LIMIT
    assert solver.solve(clone) == cp_model.OPTIMAL
    return {
        name: reward.constant
        + sum(coefficient * solver.value(variable_in(clone, variable)) for coefficient, variable in reward.terms)
        for name, reward in rewards.items()
    }


def test_every_file_is_one_merit() -> None:
    modules = {path.stem for path in MERITS.glob("*.py")} - NO_MERITS
    assert len(every_merit()) == len(modules)
    names = [merit.name for merit in every_merit()]
    assert len(set(names)) == len(names)


def test_each_is_counted_on_notes_and_in_the_model_or_on_rhythms() -> None:
    assert all((merit.reward is None) == (merit.measure_rhythm is not None) for merit in every_merit())
    assert all(merit.is_rhythmic == (merit.measure_rhythm is not None) for merit in every_merit())
