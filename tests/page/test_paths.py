"""Names in requests: nothing outside the workspace can be reached."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.page.paths import Workspace
from solver.page.refusal import Refusal
from tests.page.served import client_of, made_take, workspace

OUTSIDE = ("..", "../secret", "..%2fsecret", "a/../../secret", "/etc/passwd", "a\\..\\b", ".hidden", "a\0b", "con\n")


@pytest.mark.parametrize("name", OUTSIDE)
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.toml").write_text("bars = 1")
    client = client_of(workspace(tmp_path / "work", "one-rope"))
    for path in (f"/api/briefs/{quote(name, safe='')}", f"/api/loops/{quote(name, safe='')}/take-001/1"):
        assert client.get(path).status_code in (400, 403, 404)
    assert client.put(f"/api/briefs/{quote(name, safe='')}", json={"text": "x"}).status_code in (400, 403, 404, 405)
    assert sorted(path.name for path in tmp_path.rglob("*.toml")) == ["one-rope.toml", "secret.toml"]


@given(st.text(max_size=40))
def test_whatever_the_name_the_path_lies_inside_or_it_is_refused(name: str) -> None:
    root = Path("/work-space-that-is-not-there")
    try:
        path = Workspace(root).brief(name)
    except Refusal:
        return
    assert path.parent == root / "briefs"
    assert path.resolve().is_relative_to(root)


def test_a_link_that_leads_outside_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "secret.toml").write_text("bars = 1")
    root = workspace(tmp_path / "work", "one-rope")
    (root / "briefs" / "secret.toml").symlink_to(tmp_path / "outside" / "secret.toml")
    (root / "out").mkdir()
    (root / "out" / "one-rope").symlink_to(tmp_path / "outside")
    client = client_of(root)
    assert client.get("/api/briefs/secret").status_code == 403
    assert client.get("/api/loops/one-rope").status_code == 403
    listed = client.get("/api/briefs").json()["briefs"]
    assert [(brief["name"], brief["takes"]) for brief in listed] == [("one-rope", 0)]


def test_takes_have_names_of_takes(tmp_path: Path) -> None:
    root = workspace(tmp_path, "one-rope")
    made_take(root, "one-rope")
    client = client_of(root)
    assert client.get("/api/loops/one-rope/take-001/1").status_code == 200
    for wrong in ("take-001%2f..", "take-1", "take-999", ".takes.lock", "job-1", "job-x"):
        assert client.get(f"/api/loops/one-rope/{wrong}/1").status_code == 404
    for wrong in ("0", "3", "-1", "1.5", "x", "9" * 40):
        assert client.get(f"/api/loops/one-rope/take-001/{wrong}").status_code == 404
