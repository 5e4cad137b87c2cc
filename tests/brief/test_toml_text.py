"""Texts that are not TOML."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from solver.brief.errors import BriefErrors
from solver.brief.toml_text import LONGEST_LINE, parse_toml
from tests.brief.texts import PATH

WRONG = [
    ('key = "B minor\nbars = 8', "1:15: not valid TOML: the text is not closed; close the text"),
    ("key = 'B minor", "1:15: not valid TOML: the text is not closed"),
    ('key = """B', "1:11: not valid TOML: the text is not closed"),
    ("key = B minor", '1:7: not valid TOML: this is no value; put text into quotes, as in key = "B minor"'),
    ("\nbars", "2:5: not valid TOML: a key without a value; write lines such as bars = 8"),
    ("= 3", "1:1: not valid TOML: this is no key"),
    ("a. = 3", "1:4: not valid TOML: this is no key"),
    ("a = 1 b = 2", "1:7: not valid TOML: something follows the value; write one key a line"),
    ("a = 1\na = 2", "2:1: not valid TOML: this key has a value already; give each key once"),
    ("a = { b = 1, b = 2 }", "not valid TOML: a key stands twice in a table in braces"),
    ("[parts.lead]\n[parts.low]\n[parts.lead]", "3:12: not valid TOML: this table was opened before"),
    ("[parts.lead\nrole = 1", "1:12: not valid TOML: the header of a table is not closed"),
    ("a = [1, 2\nb = 3", "2:1: not valid TOML: a list is not closed"),
    ("a = { b = 1\n}", "1:12: not valid TOML: a table in braces is not closed"),
    ('a = "\\q"', "1:8: not valid TOML: a single \\ in a text"),
    ('a = "\\uzz"', "1:8: not valid TOML: a \\ without its number in a text"),
    ('a = "\\ud800"', "1:12: not valid TOML: a \\ with a number that is no character"),
    ("a = 1 # \x07", "1:9: not valid TOML: a character that cannot stand here; remove it"),
    ("a = 2021-02-30", "1:5: not valid TOML: there is no such date"),
    ("a = 2021-02-30T00:00:00", "not valid TOML: there is no such date"),
    ("a = " + "[" * 1500, ": lists stand in lists too deeply"),
    (
        f"a = 1\nb = {'1' * LONGEST_LINE}",
        f"2:1: the line has {LONGEST_LINE + 4} characters; use at most {LONGEST_LINE}",
    ),
]


@pytest.mark.parametrize(("text", "words"), WRONG, ids=[case[1][:40] for case in WRONG])
def test_what_is_wrong_and_where(text: str, words: str) -> None:
    with pytest.raises(BriefErrors) as caught:
        parse_toml(text, PATH)
    assert words in str(caught.value)
    assert str(caught.value).startswith("pier.toml")
    assert "\n" not in str(caught.value)


def test_a_number_with_too_many_digits() -> None:
    usual = sys.get_int_max_str_digits()
    sys.set_int_max_str_digits(640)
    try:
        with pytest.raises(BriefErrors, match="a number has far too many digits"):
            parse_toml(f"a = {'1' * 700}", PATH)
    finally:
        sys.set_int_max_str_digits(usual)


def test_a_remark_may_be_long() -> None:
    assert parse_toml(f"  # {'x' * LONGEST_LINE}\na = 1", PATH) == {"a": 1}


def test_values() -> None:
    assert parse_toml('a = 1\n[b]\nc = ["x"]', Path("x")) == {"a": 1, "b": {"c": ["x"]}}
