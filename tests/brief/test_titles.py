"""Titles made of files' names."""

from __future__ import annotations

from solver.brief.titles import title_from


def test_titles_made_of_names() -> None:
    assert title_from("ferry-lights") == "Ferry lights"
    assert title_from("Pier_4  a") == "Pier 4 a"
    assert title_from("--") == "Untitled"
