"""Each brief and lock that asks for too much: its conflicts, verified here once more, and the best repair."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import islice

import pytest

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.rhythm.skeletons import skeletons
from solver.search.conflicts import explaining
from solver.search.conflicts.changes import applied, changes_of
from solver.search.conflicts.explaining import Explanation, explain
from solver.search.conflicts.lines import Line, lines_of
from solver.search.conflicts.oracle import Oracle
from solver.search.conflicts.placing import Collision
from solver.search.conflicts.reasons import Reasons
from solver.search.conflicts.relaxing import relaxed
from solver.search.conflicts.repairs import has_arrangement
from solver.search.conflicts.wording import explanation_data, explanation_lines
from solver.search.outcome import NoArrangement
from solver.search.pool import TRIED_IN_VAIN
from tests.search.conflicts.infeasible import ANSWERS, BRIEFS, FILE, Infeasible
from tests.search.conflicts.refusals import refusal, refused


def names(lines: tuple[Line, ...]) -> str:
    """The lines of a conflict in short: ``chords, range low``."""
    return ", ".join(f"{line.kind} {line.part or ''}".strip() for line in lines)


@cache
def explained(name: str) -> tuple[Infeasible, Source, Plan, Explanation]:
    """A brief of the table with what is said of it."""
    source, plan = BRIEFS[name].read()
    explanation = refused(source, plan)
    assert explanation is not None
    return BRIEFS[name], source, plan, explanation


@pytest.mark.parametrize("name", BRIEFS)
def test_conflicts_and_repairs(name: str) -> None:
    explanation = explained(name)[3]
    conflicts, repair = ANSWERS[name]
    assert tuple(names(conflict.lines) for conflict in explanation.conflicts) == conflicts
    first = explanation.conflicts[0].repairs
    assert (first[0].words if first else "") == repair
    distances = [[change.distance for change in conflict.repairs] for conflict in explanation.conflicts]
    assert all(row == sorted(row) for row in distances)


def test_they_are_many_and_all_different() -> None:
    assert len(BRIEFS) == len(ANSWERS) >= 25
    assert len(set(ANSWERS.values())) >= 24


def test_a_conflict_holds_on_every_rhythm_and_none_of_its_members_is_too_many() -> None:
    _, source, plan, explanation = explained("no root in the low range")
    conflict = frozenset(explanation.conflicts[0].lines)
    lines = lines_of(source, plan)
    rhythms = [skeleton.onsets for skeleton in refusal(plan).tried]
    oracle = Oracle(plan, lines, rhythms)
    assert explanation.rhythms == len(rhythms) == TRIED_IN_VAIN
    bare = relaxed(plan, conflict, lines)
    assert not any(oracle.suits(bare, conflict, rhythm) for rhythm in rhythms)
    for line in conflict:
        assert oracle.feasible(conflict - {line})


def test_a_repair_makes_the_whole_brief_feasible() -> None:
    _, source, plan, explanation = explained("no root in the low range")
    assert not has_arrangement(plan)
    for change in explanation.conflicts[0].repairs:
        mended = applied([change], source, plan)
        assert mended is not None
        assert has_arrangement(mended[1])


def test_a_smaller_change_of_the_kind_does_not_help() -> None:
    _, _, _, explanation = explained("no root in the low range")
    change = explanation.conflicts[0].repairs[0]
    assert change.value == "E2..A2"
    assert change.distance == 1


def test_a_brief_that_can_be_satisfied_has_no_conflict() -> None:
    source, plan = Infeasible(BRIEFS["no root in the low range"].keys, {"lead": "", "low": ""}).read()
    tried = tuple(islice(skeletons(plan, plan.seed), 2))
    assert explain(source, plan, NoArrangement("none", 0, plan, tried, False)) is None


def test_the_lines_say_file_line_and_column_and_where_they_collide() -> None:
    case, source, plan, explanation = explained("no root in the low range")
    said = explanation_lines(explanation, source, plan)
    row = case.text().split("\n").index('range = "E2..G#2"') + 1
    assert said[0] == "these cannot hold together at bar 1, beat 1 in each of 36 rhythms tried:"
    assert f'  {FILE}:{row}:9: low: range = "E2..G#2"' in said
    assert said[-1] == "  raise the top of low's range from G#2 to A2"
    (facts,) = explanation_data(explanation, source, plan)
    assert facts["where"] == {"bar": 1, "beat": 1.0}
    assert facts["repairs"][0] == {
        "words": "raise the top of low's range from G#2 to A2",
        "key": "parts.low.range",
        "value": "E2..A2",
    }


def test_a_conflict_of_rhythm_is_final() -> None:
    _, source, plan, explanation = explained("more background than lead")
    said = explanation_lines(explanation, source, plan)
    assert said[0].startswith("these cannot hold together")
    assert said[0].endswith("in any rhythm:")


def test_several_conflicts_are_told_one_after_the_other() -> None:
    _, source, plan, explanation = explained("two independent conflicts")
    said = explanation_lines(explanation, source, plan)
    assert [line.split(":")[0] for line in said if line.startswith("conflict")] == ["conflict 1", "conflict 2"]
    together = [change for conflict in explanation.conflicts for change in conflict.repairs[:1]]
    mended = applied(together, source, plan)
    assert mended is not None
    assert has_arrangement(mended[1])


def test_the_same_brief_is_explained_the_same() -> None:
    _, source, plan, explanation = explained("no root in the low range")
    assert refused(source, plan) == explanation


def test_what_a_brief_takes_from_a_file_is_left_out_as_a_whole() -> None:
    source, plan = BRIEFS["a locked lead under the root"].read()
    held = replace(plan.held[0], words='slack-tide.toml:9: from = "my-lead.mid"')
    plan = replace(plan, held=(held,))
    (line,) = (line for line in lines_of(source, plan) if line.held)
    (change,) = changes_of(line, source, plan)
    assert (change.words, change.held) == ("leave out from, so that lead is solved", ())


def test_repairs_are_not_looked_for_any_more_once_it_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    source, plan = BRIEFS["no root in the low range"].read()
    asked: list[bool] = []
    none = refusal(plan, lambda stopped: Reasons(source, lambda: bool(asked)))
    found = explaining.collision_of

    def stopping(oracle: Oracle, conflict: tuple[Line, ...]) -> Collision:
        asked.append(True)
        return found(oracle, conflict)

    monkeypatch.setattr(explaining, "collision_of", stopping)
    explanation = explain(source, plan, none)
    assert explanation is not None
    assert [names(conflict.lines) for conflict in explanation.conflicts] == list(ANSWERS["no root in the low range"][0])
    assert [conflict.repairs for conflict in explanation.conflicts] == [()]
