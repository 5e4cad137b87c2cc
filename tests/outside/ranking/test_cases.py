"""Each merit alone decides its case, is drawn, and can be turned: by the table's weights and by ``prefer``."""

from __future__ import annotations

from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest

from solver.brief.findings import Findings
from solver.brief.preferences import merit_weights
from solver.heard import Heard
from solver.merits import every_merit
from solver.search.scale import scale_of
from solver.search.weights import load_weights
from tests.outside.ranking.cases import CASES, Case, pictures, plan_of_cases
from tests.outside.ranking.judging import judged_heard
from tests.rules.small import heard

PLAN = plan_of_cases()


def total(music: Heard, weights: dict[str, int]) -> int:
    scale = scale_of(PLAN, music, weights)
    return scale.total(scale.counts(music))


@pytest.mark.parametrize("case", CASES, ids=[case.merit for case in CASES])
def test_the_merit_alone_decides(case: Case) -> None:
    winner, loser = case.heard(PLAN)
    differ = [m.name for m in every_merit() if m.measure(winner) != m.measure(loser)]
    assert differ == [case.merit]
    (merit,) = (m for m in every_merit() if m.name == case.merit)
    assert merit.measure(winner) > merit.measure(loser)
    weights = load_weights()
    assert total(winner, {name: 100 * weight for name, weight in weights.items()}) > total(
        loser, {name: 100 * weight for name, weight in weights.items()}
    )


def test_every_merit_has_a_case() -> None:
    assert {case.merit for case in CASES} == {merit.name for merit in every_merit()}


def test_winner_and_loser_are_drawn(tmp_path: Path) -> None:
    written = pictures(tmp_path)
    assert len(set(written)) == 2 * len(CASES)
    assert all(fromstring(path.read_text(encoding="utf-8")).tag.endswith("svg") for path in written)


# Of two pieces in one rhythm one walks in the low part, the other has the smaller moves above: what counts more wins.
WALKS = heard(PLAN, lead="C5 E5 G3 C5 | E5 G5 E5 D5", low="C3 E3 D3 C3 | E3 G2 F2 G2")
MOVES = heard(PLAN, lead="C5 E5 E4 C5 | E5 G5 E5 D5", low="C3 E3 F2 C3 | E3 G2 F2 G2")


@pytest.mark.parametrize(
    ("prefer", "walks_wins"),
    [
        ({"the_low_part_walks_and_moves_on": 5, "small_moves": 0.2}, True),
        ({"the_low_part_walks_and_moves_on": 0.2, "small_moves": 5}, False),
    ],
)
def test_prefer_changes_the_ranking(prefer: dict[str, float], walks_wins: bool) -> None:
    weights = merit_weights(prefer, Findings())
    assert (total(WALKS, weights) > total(MOVES, weights)) == walks_wins


def test_a_table_of_one_s_own_changes_the_ranking(tmp_path: Path) -> None:
    usual = load_weights()
    for loud, walks_wins in (("the low part walks and moves on", True), ("small moves", False)):
        rows = [f'["{name}"]\nweight = {100 if name == loud else min(1, weight)}\n' for name, weight in usual.items()]
        (tmp_path / "shared").mkdir(exist_ok=True)
        (tmp_path / "shared" / "weights.toml").write_text("\n".join(rows), encoding="utf-8")
        own = load_weights(tmp_path)
        assert (total(WALKS, own) > total(MOVES, own)) == walks_wins


def test_a_merit_that_is_preferred_counts_as_much_more() -> None:
    winner, loser = next(case for case in CASES if case.merit == "lead and low go their own ways").heard(PLAN)
    usual = merit_weights({}, Findings())
    doubled = merit_weights({"lead_and_low_go_their_own_ways": 2}, Findings())
    assert judged_heard(winner, usual).total(doubled) - judged_heard(loser, usual).total(doubled) > judged_heard(
        winner, usual
    ).total(usual) - judged_heard(loser, usual).total(usual)
