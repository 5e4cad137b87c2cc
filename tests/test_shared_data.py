"""Whose table wins: the workspace's own, then the shipped one."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver import shared_data
from solver.shared_data import shared_file


def test_the_shipped_table_is_found_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert 'tuning = ["E2", "A2", "D3", "G3", "B3", "E4"]' in shared_file("instruments.toml").read_text(
        encoding="utf-8"
    )


def test_the_workspace_of_the_current_folder_wins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "shared" / "instruments.toml"
    own.parent.mkdir()
    own.write_text("", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert shared_file("instruments.toml") == own
    assert shared_file("low_limits.toml") != own.with_name("low_limits.toml")


def test_a_workspace_can_be_named(tmp_path: Path) -> None:
    own = tmp_path / "shared" / "low_limits.toml"
    own.parent.mkdir()
    own.write_text("", encoding="utf-8")
    assert shared_file("low_limits.toml", tmp_path) == own


def test_an_installed_package_reads_its_own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "site" / "solver"
    (package / "shared").mkdir(parents=True)
    (package / "shared" / "own.toml").write_text("", encoding="utf-8")
    monkeypatch.setattr(shared_data, "__file__", str(package / "shared_data.py"))
    assert shared_file("own.toml", tmp_path) == package / "shared" / "own.toml"


def test_a_file_that_is_nowhere_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match=r"shared/nothing\.toml"):
        shared_file("nothing.toml", tmp_path)
