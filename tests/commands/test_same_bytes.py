"""The same brief and seed give the same take, byte for byte, on any number of cores."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from solver.cli import run
from tests.commands.fake_search import write_brief

BRIEF = """
key = "A dorian"
bars = 2
chords = ["Am", "D"]
count = 3
[parts.lead]
[parts.low]
"""
OTHERS = ("index.html", "take.json")


def whole_take(folder: Path, brief: Path, *options: str) -> dict[str, bytes]:
    """Every file of the take that the command writes, by name."""
    assert run(["arrange", str(brief), "--out", str(folder), *options]) == 0
    return {path.name: path.read_bytes() for path in (folder / brief.stem / "take-001").iterdir()}


def test_the_same_on_one_core_and_on_two_and_another_for_another_seed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    brief = write_brief(tmp_path, "two-bars", BRIEF)
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    one = whole_take(tmp_path / "one", brief)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    two = whole_take(tmp_path / "two", brief)
    assert sorted(one) == sorted([*(f"{n}.{ending}" for n in (1, 2, 3) for ending in ("mid", "svg", "wav")), *OTHERS])
    assert one == two
    other = whole_take(tmp_path / "other", brief, "--seed", "1")
    assert other["take.json"] != one["take.json"]
    assert {other[f"{n}.mid"] for n in (1, 2, 3)} != {one[f"{n}.mid"] for n in (1, 2, 3)}
