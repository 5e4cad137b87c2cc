"""Lines and columns of keys and values."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.brief.places import KeyPath, places_in

BRIEFS = sorted((Path(__file__).parents[2] / "briefs").glob("*.toml"))

TEXT = """\
# a remark with é
title = "Pier é" # after
chords = [
  "Bm", # the first
  [ 1,
    2 ]
]
prefer = { a = 1, "b c" = { d = [3, 4] } }
x.y . "z w" = 'text'

  [parts."my lead"] # header
role = \"\"\"
lead\"\"\"
"ran\\u0067e" = 'E3..E5'
[parts.low]
a.b = 1
[[rows]]
k = 1
[[rows]]
k = 2
[rows.sub]
m = 3
"""

VALUES: list[tuple[KeyPath, tuple[int, int]]] = [
    (("title",), (2, 9)),
    (("chords",), (3, 10)),
    (("chords", 0), (4, 3)),
    (("chords", 1), (5, 3)),
    (("chords", 1, 1), (6, 5)),
    (("prefer",), (8, 10)),
    (("prefer", "a"), (8, 16)),
    (("prefer", "b c"), (8, 27)),
    (("prefer", "b c", "d", 1), (8, 37)),
    (("x",), (9, 1)),
    (("x", "y"), (9, 1)),
    (("x", "y", "z w"), (9, 15)),
    (("parts",), (11, 3)),
    (("parts", "my lead"), (11, 3)),
    (("parts", "my lead", "role"), (12, 8)),
    (("parts", "my lead", "range"), (14, 16)),
    (("parts", "low", "a", "b"), (16, 7)),
    (("rows", 0, "k"), (18, 5)),
    (("rows", 1), (19, 1)),
    (("rows", 1, "k"), (20, 5)),
    (("rows", 1, "sub", "m"), (22, 5)),
]


@pytest.mark.parametrize(("path", "place"), VALUES)
def test_values(path: KeyPath, place: tuple[int, int]) -> None:
    assert places_in(TEXT).value(path) == place


def test_windows_line_ends_change_nothing() -> None:
    text = TEXT.replace("\n", "\r\n")
    assert [places_in(text).value(path) for path, _ in VALUES] == [place for _, place in VALUES]


def test_what_is_not_there_stands_at_the_nearest_table_around_it() -> None:
    places = places_in(TEXT)
    assert places.value(("parts", "low", "range")) == (15, 1)
    assert places.value(("chords", 0, 7)) == (4, 3)
    assert places.value(("nowhere", "at all")) == (1, 1)
    assert places.key(("parts", "low", "range")) == (15, 1)


def test_keys() -> None:
    places = places_in(TEXT)
    assert places.key(("title",)) == (2, 1)
    assert places.key(("prefer", "b c")) == (8, 19)
    assert places.key(("x", "y", "z w")) == (9, 7)
    assert places.key(("parts", "my lead")) == (11, 10)
    assert places.key(("parts", "my lead", "range")) == (14, 1)


@pytest.mark.parametrize("brief", BRIEFS, ids=lambda path: path.stem)
def test_the_word_at_each_place_reads_as_the_value(brief: Path) -> None:
    text = brief.read_text(encoding="utf-8")
    places = places_in(text)
    leaves = list(_leaves(tomllib.loads(text), ()))
    assert leaves
    for path, value in leaves:
        line, column = places.value(path)
        word = re.match(r'"[^"]*"|[\w.]+', text.splitlines()[line - 1][column - 1 :])
        assert word is not None
        assert tomllib.loads(f"x = {word[0]}")["x"] == value


@given(st.recursive(st.integers() | st.booleans(), lambda inner: st.lists(inner, max_size=4), max_leaves=12))
@settings(deadline=None)
def test_every_entry_of_nested_lists_over_many_lines_has_a_place_of_its_own(value: object) -> None:
    text = "x = " + str(value).lower().replace("[", "[\n").replace(", ", ",\n # [ remark\n ")
    data = tomllib.loads(text)
    places = places_in(text)
    paths = [path for path, _ in _leaves(data, ())]
    assert all(path in places.values for path in paths)
    assert [places.value(path) for path in paths] == sorted({places.value(path) for path in paths})


def _leaves(value: object, path: KeyPath) -> Iterator[tuple[KeyPath, object]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _leaves(inner, (*path, index))
    else:
        yield path, value
