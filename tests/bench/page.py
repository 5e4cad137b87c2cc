"""The local page: usable after the command, a first arrangement on the screen, a lock's answer, many takes listed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from solver.brief.planning import plan_from_text
from solver.export.sound.sampled import VARIABLE
from solver.page.server import listening
from solver.take import TakeHeader, open_take
from tests.bench.command import FERRY_LIGHTS, ROOT
from tests.bench.figure import Bench, Figure, seconds
from tests.conftest import browser
from tests.export.sample_arrangements import sample_ranked

NAME = FERRY_LIGHTS.stem
TAKES, EACH = 200, 6
WARM = 4.0  # seconds after which the solving process has imported what it needs, as it has once a brief is chosen


def figures(bench: Bench) -> list[Figure]:
    """Seconds: of the command until the page answers, of a browser's, and of a list of many takes."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "briefs").mkdir()
        shutil.copy(FERRY_LIGHTS, root / "briefs")
        usable = bench.repeated("page", partial(_usable, root))
        found = [seconds("the local page answers after the command", usable, "1 s")]
        if browser():
            solved = bench.repeated("page, first arrangement", partial(_first, root))
            found.append(seconds("first arrangement on screen after solve is pressed", solved, "2 s"))
        _fill(root)
        listed = bench.repeated("page, takes", partial(_listed, root))
        found.append(seconds(f"{TAKES} takes of {EACH} listed, read anew", [first for first, _ in listed], "0.30 s"))
        found.append(seconds(f"{TAKES} takes of {EACH} listed again", [again for _, again in listed]))
        if browser():
            locked = bench.repeated("page, lock", partial(_locked, root))
            found.append(seconds("a lock by a click, drawn", locked, "0.05 s"))
    return found


@contextmanager
def _served(root: Path) -> Iterator[str]:
    """The command in a process of its own, and the page's address."""
    with listening(0) as opened:
        port = opened.getsockname()[1]
    command = [sys.executable, "-u", "-m", "solver", "page", "--no-browser", "--port", str(port)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT), VARIABLE: ""}
    child = subprocess.Popen(command, cwd=root, env=environment, stdout=subprocess.DEVNULL)
    try:
        url = f"http://127.0.0.1:{port}/"
        while not _answers(url):
            time.sleep(0.005)
        yield url
    finally:
        child.terminate()
        child.wait()


def _answers(url: str) -> bool:
    try:
        for path in ("", "static/main.js", "api/briefs"):
            urllib.request.urlopen(url + path).read()
    except OSError:
        return False
    return True


def _usable(root: Path) -> float:
    began = time.perf_counter()
    with _served(root):
        return time.perf_counter() - began


def _first(root: Path) -> float:
    """From the click to the first picture, in a browser."""
    from tests.page.browsing import launched

    shutil.rmtree(root / "out", ignore_errors=True)
    with _served(root) as url, launched() as chromium:
        page = chromium.new_page()
        page.goto(f"{url}#/loops/{NAME}")
        page.wait_for_selector("text=Solve the brief")
        time.sleep(WARM)
        began = time.perf_counter()
        page.click("text=Solve the brief")
        page.wait_for_selector(".note", state="attached", timeout=120_000)
        return time.perf_counter() - began


def _fill(root: Path) -> None:
    """Takes as the search writes them; their records alone, which are all that a list reads."""
    shutil.rmtree(root / "out", ignore_errors=True)
    text = FERRY_LIGHTS.read_text(encoding="utf-8")
    plan = plan_from_text(text, NAME)
    folder = root / "out" / NAME
    with open_take(folder, TakeHeader(NAME, text, 0), plan) as opened:
        take = opened.finish(sample_ranked(plan, EACH))
    for number in range(2, TAKES + 1):
        other = folder / f"take-{number:03}"
        other.mkdir()
        shutil.copy(take / "take.json", other)


def _listed(root: Path) -> tuple[float, float]:
    """The list of all takes, twice."""
    with _served(root) as url:
        times = []
        for _ in range(2):
            began = time.perf_counter()
            data = urllib.request.urlopen(f"{url}api/loops/{NAME}").read()
            times.append(time.perf_counter() - began)
            assert len(json.loads(data)["takes"]) == TAKES
    return times[0], times[1]


def _locked(root: Path) -> float:
    """From the key that locks to the lock in the picture, by the browser's own clock."""
    from tests.page.browsing import launched

    with _served(root) as url, launched() as chromium:
        page = chromium.new_page()
        page.goto(f"{url}#/loops/{NAME}")
        page.wait_for_selector(".note", state="attached")
        milliseconds = page.evaluate(
            """async () => {
              const began = performance.now();
              document.querySelector(".note").dispatchEvent(new KeyboardEvent("keydown", { key: "l", bubbles: true }));
              await new Promise(requestAnimationFrame);
              if (!document.querySelector(".lock")) throw new Error("nothing was locked");
              return performance.now() - began;
            }"""
        )
    return milliseconds / 1000
