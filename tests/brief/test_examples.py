"""The example briefs: all can be read, all are set in the invented town, and together they show what there is."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.reader import read_brief

BRIEFS = sorted((Path(__file__).parents[2] / "briefs").glob("*.toml"))


@pytest.fixture(scope="module")
def plans() -> list[Plan]:
    return [plan_from(read_brief(path)) for path in BRIEFS]


@pytest.mark.parametrize("path", BRIEFS, ids=lambda path: path.stem)
def test_each_is_short_and_says_that_it_is_invented(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    remarks = [line for line in text.splitlines() if line.startswith("#")]
    assert 1 <= len(remarks) <= 4
    assert "invented ferry town at night" in " ".join(remarks)
    assert len(text.splitlines()) <= 40


def test_titles_differ(plans: list[Plan]) -> None:
    assert len({plan.title for plan in plans}) == len(plans) >= 12


def test_what_the_examples_show(plans: list[Plan]) -> None:
    chords = {plan.name: {span.chord for span in plan.spans} for plan in plans}
    symbols = {name: [chord.symbol for chord in found] for name, found in chords.items()}
    qualities = {name: {chord.quality for chord in found} for name, found in chords.items()}
    assert any(len(found) == 1 for found in chords.values())
    assert any(sorted(found) == ["Am", "G"] for found in symbols.values())
    assert any({"m9", "maj9"} <= found for found in qualities.values())
    assert any(not chord.pcs <= plan.key.pcs for plan in plans for chord in chords[plan.name])
    assert any(chord.slash for found in chords.values() for chord in found)
    assert {"3/4", "4/4", "5/4", "6/8", "7/8"} <= {plan.metre.name for plan in plans}
    assert any(len(plan.parts) == 5 for plan in plans)
    assert any({"dyads", "chords"} <= {part.texture for part in plan.parts} for plan in plans)
    assert any({part.role for part in plan.parts} == {"lead", "low"} and plan.by_rank[0].rings for plan in plans)
    assert any(part.instrument.low == 38 for plan in plans for part in plan.parts)
    assert any(len({span.end - span.start for span in plan.spans}) > 1 for plan in plans)
    assert "dorian" in {plan.key.mode for plan in plans}
    assert any({"lead", "counter"} <= {part.role for part in plan.parts if part.ornaments == "few"} for plan in plans)
    assert {role for plan in plans for part in plan.parts for role in [part.role]} == {
        "lead",
        "low",
        "background",
        "chords",
        "counter",
    }
