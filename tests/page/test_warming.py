"""What the page imports, and when: nothing heavy before its first view, all that a solve needs soon after."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from solver.page.warming import SOUND, VIEWS, Warming
from tests.page.served import workspace

HEAVY = {"jinja2", "mido", "music21", "numpy", "ortools", "pandas", "pydantic", "rich", "scipy", "verovio"}
FIRST_VIEW = """
import sys
from pathlib import Path
import uvicorn
from starlette.testclient import TestClient
from solver.page.app import page_app
asking = TestClient(page_app(Path(sys.argv[1]), 8734, "token"), base_url="http://127.0.0.1:8734")
assert all(asking.get(path).status_code == 200 for path in ("/", "/static/main.js", "/picture.css", "/api/briefs"))
print(" ".join(sys.modules))
"""


def test_the_first_view_imports_nothing_heavy(tmp_path: Path) -> None:
    root = workspace(tmp_path, "ferry-lights")
    done = subprocess.run([sys.executable, "-c", FIRST_VIEW, root], capture_output=True, text=True, check=True)
    assert HEAVY.isdisjoint(done.stdout.split())


class Desk:
    """Stands in for the jobs: counts how often the process is started."""

    def __init__(self) -> None:
        self.started = 0

    def start(self) -> None:
        self.started += 1


def test_warming_happens_once_and_can_be_waited_for() -> None:
    desk = Desk()
    warming = Warming(desk)
    assert warming.lacks("/api/briefs") == []
    assert warming.lacks("/api/loops/bell") == []
    assert warming.lacks("/api/briefs/bell") == [VIEWS]
    assert warming.lacks("/api/loops/bell/take-001/1/stems/lead.wav") == [VIEWS, SOUND]
    warming.join()  # nothing has begun: nothing to wait for
    warming.begin()
    warming.begin()
    warming.join()
    assert desk.started == 1
    assert warming.lacks("/api/loops/bell/take-001/1/stems/lead.wav") == []
    assert {"numpy", "pydantic", "solver.page.views"} <= set(sys.modules)
