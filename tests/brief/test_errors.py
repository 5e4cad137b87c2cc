"""Error lines."""

from __future__ import annotations

from solver.brief.errors import BriefError, BriefErrors


def test_a_line_with_and_without_a_place() -> None:
    assert str(BriefError("a.toml", 3, 7, "x is 4", "use 5")) == "a.toml:3:7: x is 4; use 5"
    assert (
        str(BriefError("a.toml", None, None, "it is empty", "write something"))
        == "a.toml: it is empty; write something"
    )


def test_an_error_is_one_line_whatever_it_quotes() -> None:
    line = str(BriefError("a\nb.toml", 1, 1, "x is \x1b[31m\r\u2028", "write é"))
    assert line == r"a\nb.toml:1:1: x is \x1b[31m\r\u2028; write é"


def test_errors_stand_in_the_order_of_the_file() -> None:
    places = [(3, 1), (1, 9), (1, 2), (None, None)]
    errors = BriefErrors(BriefError("a", line, column, "w", "r") for line, column in places)
    assert [(error.line, error.column) for error in errors.errors] == [(None, None), (1, 2), (1, 9), (3, 1)]
    assert str(errors).splitlines() == ["a: w; r", "a:1:2: w; r", "a:1:9: w; r", "a:3:1: w; r"]
