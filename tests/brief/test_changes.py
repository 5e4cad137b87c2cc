"""Changing keys of a brief's text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.changes import changed
from solver.brief.errors import BriefErrors
from solver.brief.planning import plan_from_text

NAME = "quay"
TEXT = """# Set in the invented ferry town.
key = "A minor"
bars = 4  # a short loop
chords = ["Am", "F"]

[parts.lead]
range = "A4..E5"  # high

[parts.low]
"""


def test_values_change_and_remarks_stay() -> None:
    new = changed(TEXT, ['parts.lead.range = "G4..E5"', "bars = 8"], NAME)
    assert new == TEXT.replace("A4..E5", "G4..E5").replace("bars = 4 ", "bars = 8 ")


def test_keys_and_tables_that_were_not_there() -> None:
    new = changed(TEXT, ["tempo = 99", "parts.low.notes_per_bar = [1, 2]", 'parts.middle.role = "background"'], NAME)
    plan = plan_from_text(new, NAME)
    assert plan.tempo == 99
    assert plan.part("low").notes_per_bar == (1, 2)
    assert plan.part("middle").role == "background"
    assert "# a short loop" in new


def test_changes_that_need_each_other() -> None:
    new = changed(TEXT, ["bars = 6", "chord_bars = 3"], NAME)
    assert plan_from_text(new, NAME).bars == 6


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        (["bars"], "--change bars: not valid TOML: a key without a value; "),
        (["bars = 80"], "--change bars = 80: bars is 80; write a whole number from 1 to 32"),
        (["tempo = 90", "bars = 80"], "--change bars = 80: bars is 80; "),
        (["bars.long = 8"], "--change bars.long = 8: bars is no table in this brief; "),
        ([""], "--change : this changes nothing; "),
        (["bars = 8\ntempo = 9"], "--change bars = 8 tempo = 9: a change is one line; "),
        (['parts.lead.colour = "red"'], '--change parts.lead.colour = "red": '),
    ],
)
def test_one_line_that_names_the_change(changes: list[str], line: str) -> None:
    with pytest.raises(BriefErrors) as caught:
        changed(TEXT, changes, NAME)
    assert str(caught.value).startswith(line)
    assert len(str(caught.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        (["bars = 80", "tempo = 90", 'key = "H minor"'], ["--change bars = 80: ", '--change key = "H minor": ']),
        (["bars", "tempo = 90", "", "tempo"], ["--change : ", "--change bars: ", "--change tempo: "]),
        (["bars = 6", "chord_bars = 3", 'parts.lead.role = "leed"'], ['--change parts.lead.role = "leed": ']),
    ],
)
def test_every_wrong_change_has_a_line(changes: list[str], named: list[str]) -> None:
    with pytest.raises(BriefErrors) as caught:
        changed(TEXT, changes, NAME)
    lines = sorted(str(caught.value).splitlines())
    assert [line.startswith(start) for line, start in zip(lines, named, strict=True)] == [True] * len(named)


@given(st.text() | st.from_regex(r"[a-z.]{1,12} = [\[\]{}\"a-z0-9., ]{0,12}", fullmatch=True))
def test_whatever_the_change_the_outcome_is_a_brief_or_one_line(change: str) -> None:
    said = "one line"
    try:
        plan_from_text(changed(TEXT, [change], NAME), NAME)
    except BriefErrors as errors:
        said = str(errors)
    assert len(said.splitlines()) == 1


def test_a_change_that_is_none_hides_no_other() -> None:
    with pytest.raises(BriefErrors) as caught:
        changed(TEXT, ["tempo = = 3", "bars = 80", "tempo = 1"], NAME)
    told = [str(error) for error in caught.value.errors]
    named = {line.partition(": ")[0] for line in told}
    assert named == {"--change tempo = = 3", "--change bars = 80", "--change tempo = 1"}
