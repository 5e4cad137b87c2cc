"""``sennit export``: the command's options, what it prints, and its one-line errors."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solver.cli import run
from solver.take import open_take
from solver.takes.record import TakeHeader
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import ONE_ROPE, sample_plan

ROOT = Path(__file__).parents[2]
NAME = "One rope - G major - 200 bpm"


@pytest.fixture
def take(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A take of two arrangements."""
    monkeypatch.chdir(tmp_path)
    plan = sample_plan("one-rope")
    with open_take(Path("out/one-rope"), TakeHeader("one-rope", ONE_ROPE, 0), plan) as opened:
        return opened.finish(sample_ranked(plan, 2))


def test_it_writes_the_folder_and_says_where(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["export", str(take), "2", "--to", "handed", "--rate", "48000"]) == 0
    out, err = capsys.readouterr()
    assert out.splitlines()[0] == str(Path("handed") / NAME)
    assert "LUFS" in out
    assert "plucked-string model" in out
    assert err == ""
    assert os.listdir("handed") == [NAME]


def test_a_second_one_gets_a_number_and_json_tells_the_same(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["export", str(take), "1", "--zip"]) == 0
    capsys.readouterr()
    assert run(["export", str(take), "1", "--zip", "--json", "--keys", "A major, G major"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert list(told) == ["path", "files", "loudness", "true_peak", "sound"]
    assert told["path"] == f"{NAME} (2).zip"
    assert f"{NAME} - mix.wav" in told["files"]
    assert "A major/One rope - A major - 200 bpm.mid" in told["files"]
    assert not any(name.startswith("G major/") for name in told["files"])
    assert told["loudness"] == pytest.approx(-20, abs=0.05)
    assert told["true_peak"] <= -1


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["9"], "there is no arrangement 9; write a number from 1 to 2"),
        (["1", "--keys", "A major; G major"], "--keys: keys are told apart by commas"),
        (["1", "--keys", "H major"], '--keys: "H" is not a note name'),
        (["1", "--keys", "E minor"], "--keys: E minor is not major, as the brief is; write E major"),
        (["1", "--rate", "96000"], "96000"),
        (["0"], "0"),
        (["one"], "one"),
        ([], "missing argument"),
    ],
)
def test_what_is_wrong_is_said_in_one_line_and_nothing_is_written(
    take: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], line: str
) -> None:
    before = sorted(os.listdir("."))
    assert run(["export", str(take), *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert line in err
    assert sorted(os.listdir(".")) == before


def test_every_wrong_key_has_a_line(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["export", str(take), "1", "--keys", "H major, A major, B, H major"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line[:11] for line in lines] == ['--keys: "H"', '--keys: "B"']


@pytest.mark.parametrize("path", ["out/one-rope/take-007", "out", "out/one-rope/take-001/1.wav"])
def test_what_is_no_take_is_said_in_one_line(take: Path, capsys: pytest.CaptureFixture[str], path: str) -> None:
    assert run(["export", path, "1"]) == 2
    err = capsys.readouterr().err
    assert len(err.splitlines()) == 1
    assert err.startswith(path)


def test_a_place_that_cannot_be_written_is_said_in_one_line(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("taken").write_text("a file")
    assert run(["export", str(take), "1", "--to", "taken/inside"]) == 2
    err = capsys.readouterr().err
    assert len(err.splitlines()) == 1
    assert "taken" in err


# Says at the start of each thread whether what may not be imported by two threads at once is there.
SCRIPT = """
import sys, threading
from solver.cli import run
start = threading.Thread.start
def told(thread):
    print("thread", all(name in sys.modules for name in ("scipy.fft", "scipy.signal", "pyloudnorm")))
    start(thread)
threading.Thread.start = told
sys.exit(run(sys.argv[1:]))
"""


def test_no_thread_begins_before_the_sound_is_imported(take: Path) -> None:
    """Two threads that import scipy at once may each see one that is only half there."""
    command = [sys.executable, "-c", SCRIPT, "export", str(take), "1"]
    done = subprocess.run(
        command, env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, check=True
    )
    begun = [line for line in done.stdout.splitlines() if line.startswith("thread ")]
    assert begun
    assert set(begun) == {"thread True"}
