"""Ctrl-C, sent to real processes."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from solver.cli import run
from solver.commands.interrupt import Interrupt
from solver.take import read_take
from tests.commands.fake_search import NAME, write_brief

ROOT = Path(__file__).parents[2]
PATIENCE = 240  # seconds until a test gives up on a process; nothing depends on how long it takes

# A search that finds two arrangements, tells that it has, and goes on until it is stopped, or for ever.
SEARCH = """
import sys, time
import solver.search.pool
from tests.commands.fake_search import FakeSearch
heeds = {heeds}
def search(plan, *, stop, **options):
    outcome = FakeSearch(found=2)(plan, stop=stop, **options)
    print("found", flush=True)
    told = False
    while not (stop() and heeds):
        if stop() and not told:
            told = True
            print("asked", flush=True)
        time.sleep(0.01)
    return outcome
solver.search.pool.arrange = search
from solver.cli import main
sys.exit(main())
"""

TWO_BARS = """
key = "B minor"
bars = 2
chords = ["Bm", "G"]
grid = 8
[parts.lead]
range = "F#4..D5"
[parts.low]
range = "G2..D3"
"""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="sends signals")


@contextmanager
def running(arguments: list[str], script: str | None = None) -> Iterator[subprocess.Popen[str]]:
    """A process of the program, or of a script, that does not outlive the test."""
    program = ["-c", script] if script else ["-m", "solver"]
    process = subprocess.Popen(
        [sys.executable, *program, *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "SENNIT_SOUNDFONT": ""},
    )
    with process:
        try:
            yield process
        finally:
            process.kill()


def line_of(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline()


def test_the_first_keeps_what_is_done(tmp_path: Path) -> None:
    brief = write_brief(tmp_path)
    with running(["arrange", str(brief), "--out", str(tmp_path)], SEARCH.format(heeds=True)) as process:
        assert line_of(process) == "found\n"
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=PATIENCE)
    assert process.returncode == 130
    assert err == ""
    assert "interrupted: 2 of 6 arrangements are done and kept" in out.splitlines()
    assert len(read_take(tmp_path / NAME / "take-001").arrangements) == 2


def test_the_second_ends_it_at_once_and_the_next_command_has_what_was_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    brief = write_brief(tmp_path)
    with running(["arrange", str(brief), "--out", str(tmp_path)], SEARCH.format(heeds=False)) as process:
        assert line_of(process) == "found\n"
        process.send_signal(signal.SIGINT)
        assert line_of(process) == "asked\n"
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=PATIENCE)
    assert (process.returncode, out) == (130, "")
    assert err == "interrupted: the next arrange, rework or takes of this brief makes a take of what was found\n"
    assert list((tmp_path / NAME).glob("take-*")) == []
    assert run(["takes", str(brief), "--out", str(tmp_path)]) == 0
    said = capsys.readouterr()
    assert said.err == f"{tmp_path / NAME / 'take-001'}: completed from a command that was cut short\n"
    assert "take-001: 2 arrangements" in said.out
    assert len(read_take(tmp_path / NAME / "take-001").arrangements) == 2


def test_the_search_itself_stops_where_it_stands(tmp_path: Path) -> None:
    """With solvers at work in several threads: the first arrangement is on disk, most of a hundred are not."""
    brief = write_brief(tmp_path, "two-bars", TWO_BARS)
    with running(["arrange", str(brief), "--out", str(tmp_path), "--count", "100"]) as process:
        until = time.monotonic() + PATIENCE
        while not list(tmp_path.glob("*/.unfinished-*/found-*.json")):
            assert time.monotonic() < until, "nothing was found"
            time.sleep(0.02)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=PATIENCE)
    assert (process.returncode, err) == (130, "")
    found = len(read_take(tmp_path / "two-bars" / "take-001").arrangements)
    assert 1 <= found < 100
    assert any(line.startswith(f"interrupted: {found} of 100 arrangements") for line in out.splitlines())


def test_it_listens_only_while_it_is_entered() -> None:
    before = signal.getsignal(signal.SIGINT)
    with Interrupt() as interrupt:
        assert not interrupt()
        signal.raise_signal(signal.SIGINT)
        assert interrupt()
    assert signal.getsignal(signal.SIGINT) == before
