"""Changing keys in the form's way: the values are those asked for, and every comment stays."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.page.editing import Change, changed, changes_from
from solver.page.refusal import Refusal

TEXT = """# The night boat, invented.

title  = "Night boat"   # as painted on her bow
key    = "A minor"
bars   = 8              # two rounds
chords = [
  "Am",  # home
  "F",
]

[parts.lead]   # the bell
role = "lead"
range = "E4..E5"  # not too high

# The engine.
[parts.low]
role = "low"
"""
COMMENTS = [line.partition("#")[2] for line in TEXT.splitlines() if "#" in line]


def test_a_changed_value_keeps_its_comment_and_its_place() -> None:
    made = changed(TEXT, [Change(("bars",), 16), Change(("parts", "lead", "range"), "D4..D5")])
    assert "bars   = 16              # two rounds\n" in made
    assert 'range = "D4..D5"  # not too high\n' in made
    assert made.replace("16  ", "8  ").replace("D4..D5", "E4..E5").split() == TEXT.split()


def test_new_keys_stand_where_toml_has_them() -> None:
    made = changed(TEXT, [Change(("tempo",), 96), Change(("parts", "low", "capo"), 2), Change(("feel", "swing"), 1.5)])
    values = tomllib.loads(made)
    assert (values["tempo"], values["parts"]["low"]["capo"], values["feel"]) == (96, 2, {"swing": 1.5})
    assert [line.partition("#")[2] for line in made.splitlines() if "#" in line] == COMMENTS


def test_parts_come_and_go() -> None:
    made = changed(TEXT, [Change(("parts", "lead"), None), Change(("parts", "answer"), {"role": "counter"})])
    assert list(tomllib.loads(made)["parts"]) == ["low", "answer"]
    assert "# The engine." in made
    assert changed(TEXT, [Change(("parts", "nobody", "capo"), None)]) == TEXT


@pytest.mark.parametrize(
    ("text", "path"), [("bars = ", ("bars",)), ("bars = 8", ("bars", "x")), ("feel = 'none'", ("feel", "swing"))]
)
def test_what_cannot_be_changed_is_refused(text: str, path: tuple[str, ...]) -> None:
    with pytest.raises(Refusal):
        changed(text, [Change(path, 1)])


@pytest.mark.parametrize(
    "data", [None, {}, [1], [{"path": []}], [{"path": ["a"] * 4}], [{"path": [1]}], [{"path": ["a"], "toml": 3}]]
)
def test_changes_that_are_none_are_refused(data: Any) -> None:
    with pytest.raises(Refusal):
        changes_from(data)


def test_values_written_as_toml_are_read() -> None:
    (change,) = changes_from([{"path": ["feel", "drag"], "toml": "{ low = -4 }"}])
    assert change.value == {"low": -4}
    (typo,) = changes_from([{"path": ["feel", "drag"], "toml": "{ low = "}])
    assert typo.value == "{ low = "
    (two,) = changes_from([{"path": ["feel", "drag"], "toml": "1\nbars = 3"}])
    assert two.value == "1\nbars = 3"


KEYS = st.sampled_from(
    [
        ("title",),
        ("bars",),
        ("tempo",),
        ("chords",),
        ("seed",),
        ("parts", "lead", "range"),
        ("parts", "low", "notes_per_bar"),
        ("feel", "swing"),
        ("prefer", "the_seam"),
    ]
)
VALUES = (
    st.none()
    | st.integers(0, 99)
    | st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=8)
    | st.lists(st.integers(0, 9), max_size=3)
)


@settings(max_examples=25)
@given(st.lists(st.builds(Change, KEYS, VALUES), max_size=5))
def test_any_changes_give_their_values_and_lose_no_comment(changes: list[Change]) -> None:
    wanted: dict[str, Any] = tomllib.loads(TEXT)
    for change in changes:
        table = wanted
        for name in change.path[:-1]:
            table = table.setdefault(name, {}) if change.value is not None else table.get(name, {})
        if change.value is None:
            table.pop(change.path[-1], None)
        else:
            table[change.path[-1]] = change.value
    try:
        made = changed(TEXT, changes)
    except Refusal:
        pytest.fail("a change of the form was refused")
    assert tomllib.loads(made) == wanted
    taken_out = {change.path for change in changes}
    kept = COMMENTS[:1] + ["as painted on her bow"] * (("title",) not in taken_out) + ["The engine."]
    assert all(comment.strip() in made for comment in kept)
