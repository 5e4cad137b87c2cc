"""What the page is told where nothing is found."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.page.orders import Order
from solver.page.refusal import Refusal
from solver.page.solving import solve
from solver.search.outcome import NoArrangement
from solver.take import TakeHeader, open_take
from tests.brief.lines import write_line
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A workspace with a brief that takes its lead from a file that plays two notes outside the lead's range."""
    (tmp_path / "briefs").mkdir()
    write_line(tmp_path / "briefs" / "my-lead.mid", bars=1)
    write_brief(tmp_path / "briefs", text=TEXTS[NAME] + 'from = "my-lead.mid"\nrange = "A4..C5"\n')
    return tmp_path


@pytest.mark.parametrize(("undecided", "reason"), [(0, "cannot be satisfied: none"), (1, "undecided")])
def test_what_was_noticed_about_a_file_is_told_beside_a_refusal(
    root: Path, undecided: int, reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("solver.search.conflicts.explaining.explain", lambda *given: None)
    monkeypatch.setattr("solver.search.pool.arrange", FakeSearch(0, NoArrangement("none", undecided)))
    with pytest.raises(Refusal) as caught:
        solve(root, 1, Order(NAME), lambda: False, lambda told: None)
    assert caught.value.message.startswith(reason)
    assert ". my-lead.mid: 2 notes outside lead's range" in caught.value.message


def test_every_wrong_lock_is_told(root: Path) -> None:
    plan = sample_plan(NAME)
    with open_take(root / "out" / NAME, TakeHeader(NAME, TEXTS[NAME], 0), plan) as opened:
        opened.finish(sample_ranked(plan, 1))
    order = Order(NAME, parent=("take-001", 1), locks=("nobody", "lead:2"))
    with pytest.raises(Refusal) as caught:
        solve(root, 1, order, lambda: False, lambda told: None)
    assert "nobody" in caught.value.message
    assert "reaches bar 2" in caught.value.message
