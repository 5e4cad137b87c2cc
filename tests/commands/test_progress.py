"""The progress line: what it says, and where it stays away."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from solver.commands.progress import ProgressLine, shown
from solver.search.outcome import Progress
from tests.commands.fake_search import write_brief

ROOT = Path(__file__).parents[2]
SCRIPT = """
import sys
import solver.search.pool
from tests.commands.fake_search import FakeSearch
solver.search.pool.arrange = FakeSearch(found=1)
from solver.cli import main
main()
"""


def test_what_it_says() -> None:
    line = ProgressLine(6, lambda: False)
    assert str(line) == "counting out the rhythms"
    line.search(Progress(0, 6, None, 0))
    assert str(line) == "0 of 6 rhythms done, 0 of 6 found"
    line.search(Progress(3, 6, 81.26, 2))
    assert (str(line), line.best) == ("3 of 6 rhythms done, best 81.3, 2 of 6 found", 81.26)
    line.writing(1, 2)
    assert str(line) == "writing the take, 1 of 2"


def test_it_counts_down_to_the_limit_and_not_below() -> None:
    line = ProgressLine(6, lambda: False, time.monotonic() + 1000.4)
    assert str(line) in ("counting out the rhythms, 1000 s left", "counting out the rhythms, 999 s left")
    line.deadline = time.monotonic() - 5
    assert str(line) == "counting out the rhythms, 0 s left"
    line.writing(1, 2)
    assert str(line) == "writing the take, 1 of 2"


def test_it_says_that_it_stops() -> None:
    line = ProgressLine(6, lambda: True, time.monotonic() + 1000)
    assert str(line) == "counting out the rhythms; stopping, what is done is kept"


def test_there_is_none_where_nobody_looks(capsys: pytest.CaptureFixture[str]) -> None:
    with shown(ProgressLine(6, lambda: False)) as line:
        line.search(Progress(1, 6, 50.0, 1))
    assert capsys.readouterr() == ("", "")


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_it_is_shown_on_a_terminal_and_gone_in_the_end(tmp_path: Path) -> None:
    brief = write_brief(tmp_path)
    terminal, end = os.openpty()
    with os.fdopen(terminal, "rb", buffering=0) as screen:
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT, "arrange", str(brief), "--out", str(tmp_path)],
            stdout=subprocess.PIPE,
            stderr=end,
            text=True,
            check=True,
            cwd=ROOT,
            env={**os.environ, "TERM": "xterm", "SENNIT_SOUNDFONT": ""},
        )
        shown = os.read(screen.fileno(), 1 << 20).decode()
        os.close(end)
    assert "counting out the rhythms" in shown
    assert shown.endswith("\x1b[2K")  # the line is wiped
    assert "rhythms" not in done.stdout
    assert "\x1b" not in done.stdout
