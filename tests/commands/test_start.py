"""``sennit start``: what it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.cli import run


def test_it_says_what_to_do_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["start", "pier four"]) == 0
    words = "laid out; next: cd 'pier four' && sennit arrange briefs/ferry-lights.toml"
    assert capsys.readouterr().out == f"pier four: {words}\n"
    assert (tmp_path / "pier four" / "briefs" / "ferry-lights.toml").is_file()


def test_it_refuses_to_overwrite(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["start", "."]) == 0
    assert run(["start", "."]) == 2
    assert capsys.readouterr().err == "briefs: is there already; name a folder without one, such as a new one\n"
