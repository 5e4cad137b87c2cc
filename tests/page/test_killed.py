"""A server that is killed amid a solve loses no finished arrangement: the next start makes a take of them."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import httpx2
import pytest

from solver.page.server import listening
from solver.take import list_takes, read_take
from tests.page.served import client_of, workspace

Answer = TypeVar("Answer")
PATIENCE = 120.0  # seconds, for a busy machine
ROOT = Path(__file__).parents[2]
# Many arrangements are asked for, so that the search is sure to be amid its work when one of them is there.
BRIEF = """
key = "A minor"
bars = 2
chords = ["Am", "F"]
count = 60
grid = 8

[parts.lead]
notes_per_bar = [2, 3]

[parts.low]
notes_per_bar = [2, 2]
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill a process outright")
def test_a_killed_server_loses_nothing(tmp_path: Path) -> None:
    root = workspace(tmp_path)
    (root / "briefs" / "bell.toml").write_text(BRIEF, encoding="utf-8")
    child, url = started(root)
    try:
        token = httpx2.get(url).text.split('name="token" content="')[1].split('"')[0]
        made = httpx2.post(f"{url}api/jobs", json={"brief": "bell"}, headers={"x-sennit-token": token})
        assert made.status_code == 201
        job: Any = until(
            lambda: next((job for job in jobs(url) if any(entry["final"] for entry in job["found"])), None)
        )
        assert job["state"] == "running"
    finally:
        os.kill(child.pid, signal.SIGKILL)
        child.wait(PATIENCE)
    assert list_takes(root / "out" / "bell") == []
    found = final_in(job)
    with client_of(root):
        (take,) = until(lambda: list_takes(root / "out" / "bell"))
    assert len(read_take(take).arrangements) >= found
    assert (take / "1.wav").is_file()


def started(root: Path) -> tuple[subprocess.Popen[str], str]:
    """``sennit page`` in a process of its own, and the address that it prints."""
    opened = listening(0)
    port = opened.getsockname()[1]
    opened.close()
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "SENNIT_SOUNDFONT": ""}
    command = [sys.executable, "-u", "-m", "solver", "page", "--no-browser", "--port", str(port)]
    child = subprocess.Popen(command, cwd=root, env=environment, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    line = child.stdout.readline()
    assert line.startswith("page: http://127.0.0.1:")
    return child, line.split()[1]


def jobs(url: str) -> list[dict[str, Any]]:
    """All jobs of a server."""
    return httpx2.get(f"{url}api/jobs", timeout=PATIENCE).json()["jobs"]


def final_in(job: dict[str, Any]) -> int:
    """How many arrangements of a job are finished."""
    return sum(entry["final"] for entry in job["found"])


def until(found: Callable[[], Answer]) -> Answer:
    """The first true answer."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if answer := found():
            return answer
        time.sleep(0.1)
    raise TimeoutError
