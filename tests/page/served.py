"""A workspace and a client of its page, for tests without a browser and without a search."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from solver.brief.planning import plan_from_text
from solver.page.app import page_app
from solver.page.guard import TOKEN_HEADER
from solver.take import Parent, TakeHeader, open_take
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS

# Two parts that are quickly drawn, heard and looked through.
BELL = """
title = "Bell and engine"
key = "A minor"
tempo = 160
bars = 2
chords = ["Am", "F"]
grid = 8

[parts.lead]
[parts.low]
"""
BRIEFS = {**TEXTS, "bell": BELL}
PORT = 8734
TOKEN = "a-token-of-this-test"
HOST = f"127.0.0.1:{PORT}"


def workspace(root: Path, *names: str) -> Path:
    """A workspace with some of the sample briefs."""
    (root / "briefs").mkdir(parents=True)
    for name in names:
        (root / "briefs" / f"{name}.toml").write_text(BRIEFS[name], encoding="utf-8")
    return root


def client_of(root: Path) -> TestClient:
    """A client that asks as the page itself does."""
    headers = {TOKEN_HEADER: TOKEN, "origin": f"http://{HOST}"}
    app = page_app(root, PORT, TOKEN)
    return TestClient(app, base_url=f"http://{HOST}", headers=headers, raise_server_exceptions=False)


def made_take(root: Path, name: str, count: int = 2, parent: Parent | None = None, locks: tuple[str, ...] = ()) -> Path:
    """A finished take of sample arrangements."""
    plan = plan_from_text(BRIEFS[name], name)
    header = TakeHeader(name, BRIEFS[name], 0, {"count": count}, parent, locks)
    with open_take(root / "out" / name, header, plan) as take:
        return take.finish(sample_ranked(plan, count))
