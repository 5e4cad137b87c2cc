"""Briefs are saved whole, and what another window saved meanwhile is not lost."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

import pytest

from solver.page.brief_files import save
from solver.page.paths import Workspace
from solver.page.refusal import Refusal
from solver.page.versions import version_of_text


@pytest.mark.parametrize("there", [False, True], ids=["new", "changed"])
def test_of_two_that_save_at_once_one_is_told(there: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    workspace = Workspace(tmp_path)
    version = save(workspace, "bell", "bars = 4\n", None) if there else None
    both = threading.Barrier(2)

    def looked_at(text: str) -> str:
        with suppress(threading.BrokenBarrierError):  # where they take turns, they never meet here
            both.wait(0.3)
        return version_of_text(text)

    def exists(path: Path) -> bool:
        with suppress(threading.BrokenBarrierError):
            both.wait(0.3)
        return path.is_file()

    monkeypatch.setattr("solver.page.brief_files.version_of_text", looked_at)
    monkeypatch.setattr(Path, "exists", exists)

    def saved(text: str) -> int:
        try:
            save(workspace, "bell", text, version)
        except Refusal as refusal:
            return refusal.status
        return 200

    texts = ["bars = 2\n", "bars = 8\n"]
    with ThreadPoolExecutor(2) as pool:
        codes = list(pool.map(saved, texts))
    assert sorted(codes) == [200, 409]
    assert workspace.brief("bell").read_text(encoding="utf-8") == texts[codes.index(200)]
    assert [path.name for path in (tmp_path / "briefs").glob("*.part")] == []
