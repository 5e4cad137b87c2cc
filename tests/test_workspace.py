"""A new workspace: whole or not at all, and nothing overwritten."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.workspace import WorkspaceError, shipped, start_workspace

ROOT = Path(__file__).parent.parent


def files(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_it_holds_the_examples_the_tables_and_room_for_takes(tmp_path: Path) -> None:
    start_workspace(tmp_path / "pier" / "four")
    made = tmp_path / "pier" / "four"
    expected = [f"{name}/{path.name}" for name in ("briefs", "shared") for path in (ROOT / name).glob("*.toml")]
    assert files(made) == sorted([*expected, "out/.gitignore"])
    assert (made / "out" / ".gitignore").read_text() == (ROOT / "out" / ".gitignore").read_text()
    for name in expected:
        assert (made / name).read_bytes() == (ROOT / name).read_bytes()


def test_its_briefs_can_be_read_and_its_tables_count(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    start_workspace(tmp_path)
    monkeypatch.chdir(tmp_path)
    table = tmp_path / "shared" / "weights.toml"
    text = table.read_text(encoding="utf-8")
    (usual,) = [line for line in text.splitlines() if line.startswith("weight")][:1]
    table.write_text(text.replace(usual, "weight = 7", 1), encoding="utf-8")
    plan = plan_from(read_brief(Path("briefs/ferry-lights.toml")))
    assert next(iter(plan.weights.values())) == 700 != 100 * int(usual.removeprefix("weight = "))


def test_what_else_is_in_the_folder_stays(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    start_workspace(tmp_path)
    assert (tmp_path / "notes.txt").read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["briefs", "notes.txt", "out", "shared"]


@pytest.mark.parametrize("name", ["briefs", "shared", "out"])
@pytest.mark.parametrize("kind", ["folder", "file", "link"])
def test_nothing_is_overwritten(name: str, kind: str, tmp_path: Path) -> None:
    there = tmp_path / name
    if kind == "folder":
        there.mkdir()
    elif kind == "file":
        there.write_text("mine")
    else:
        there.symlink_to(tmp_path / "nowhere")
    with pytest.raises(WorkspaceError) as caught:
        start_workspace(tmp_path)
    assert str(caught.value) == f"{there}: is there already; name a folder without one, such as a new one"
    assert [path.name for path in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("fails_at", [1, 2, 3])
def test_what_fails_halfway_leaves_nothing(fails_at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rename, calls = Path.rename, []

    def failing(self: Path, target: Path) -> Path:
        calls.append(target)
        if len(calls) == fails_at:
            raise OSError(28, "No space left on device")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(WorkspaceError, match=r"pier: cannot be written \(no space left on device\)"):
        start_workspace(tmp_path / "old" / "pier")
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "kept").mkdir()
    calls.clear()
    with pytest.raises(WorkspaceError):
        start_workspace(tmp_path / "kept")
    assert list((tmp_path / "kept").iterdir()) == []


def test_a_file_in_the_way_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "pier").write_text("a file")
    with pytest.raises(WorkspaceError, match=r"pier: cannot be written \(file exists\); name a folder of your own"):
        start_workspace(tmp_path / "pier")
    assert (tmp_path / "pier").read_text() == "a file"


@pytest.mark.parametrize("name", ["briefs", "shared"])
def test_what_is_shipped_is_found(name: str) -> None:
    assert shipped(name) == ROOT / name
