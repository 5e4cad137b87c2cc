"""Imports that run while the search does."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from solver.commands import warming


def test_it_imports_once_and_is_done_when_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "slow_rope.py").write_text("import time\ntime.sleep(0.05)\nDONE = True\n")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(warming, "MODULES", ("slow_rope",))
    with warming.Warming() as warm:
        warm.begin()
        first = warm._thread
        warm.begin()
        assert warm._thread is first
    assert sys.modules.pop("slow_rope").DONE


def test_nothing_is_imported_where_it_never_begins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(warming, "MODULES", ("no_such_rope",))
    with warming.Warming() as warm:
        pass
    assert warm._thread is None
