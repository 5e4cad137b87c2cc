"""What the page is told of one arrangement."""

from __future__ import annotations

from dataclasses import replace

from solver.avoided import Avoidance, Avoided, loop_line
from solver.page.views import view_of
from solver.study.nearest import MEASURE, with_nearest
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import sample_plan

PLAN = sample_plan("one-rope")


def test_the_nearest_passage_comes_with_what_its_similarity_means_and_the_caution() -> None:
    (ranked,) = sample_ranked(PLAN, 1)
    line = loop_line("x", ranked.arrangement.notes, PLAN.slots, PLAN.quarters_per_slot)
    assert line is not None
    clear = replace(PLAN, avoid=Avoidance((Avoided("quay.mid", PLAN.metre.quarters_per_bar, (line,)),), 5))
    view = view_of(clear, with_nearest(clear, ranked))
    (words,) = view["nearest"]
    assert words.startswith("quay.mid: lead, ")
    assert view["similarity"] == MEASURE
    assert "no legal opinion" in MEASURE


def test_where_nothing_is_avoided_nothing_is_said_of_it() -> None:
    view = view_of(PLAN, sample_ranked(PLAN, 1)[0])
    assert (view["nearest"], view["similarity"]) == ([], "")
