"""The command line as a whole: what it loads, how it ends, and that errors are one line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from solver import __version__
from solver.cli import run, sennit

ROOT = Path(__file__).parent.parent

HEAVY = (
    "constraint",
    "filelock",
    "jinja2",
    "mido",
    "music21",
    "numpy",
    "ortools",
    "pandas",
    "pydantic",
    "pyloudnorm",
    "rich",
    "scipy",
    "soundfile",
    "tree_sitter",
)
# Modules of its own, and of the library that parses the command line, that may be loaded besides that library.
FEW = 16

WRONG = [
    ([], "sennit: missing command; see sennit --help"),
    (["arange"], 'sennit: there is no command "arange"; did you mean arrange?'),
    (["sing"], 'sennit: there is no command "sing"; the commands are arrange, check'),
    (["--colour"], "sennit: no such option"),
    (["arrange"], "sennit arrange: missing argument 'BRIEF'; see sennit arrange --help"),
    (["arrange", "a.toml", "b.toml"], "sennit arrange: got unexpected extra argument (b.toml); see"),
    (["arrange", "a.toml", "--coutn", "3"], "sennit arrange: no such option"),
    (["arrange", "a.toml", "--bogus"], "sennit arrange: no such option '--bogus'; see sennit arrange --help"),
    (["arrange", "a.toml", "--cout", "3"], "'--count'"),
    (["arrange", "a.toml", "--count"], "option '--count' requires an argument; see sennit"),
    (
        ["arrange", "a.toml", "--count", "0"],
        "sennit arrange: invalid value for '--count': 0 will not do; write a whole number from 1 to 100",
    ),
    (["arrange", "a.toml", "--count", "101"], "sennit arrange: invalid value for '--count': 101 will not do"),
    (["arrange", "a.toml", "--count", "six"], "sennit arrange: invalid value for '--count': six will not do; write"),
    (["arrange", "a.toml", "--seed", "-1"], "sennit arrange: invalid value for '--seed': -1 will not do; write"),
    (["arrange", "a.toml", "--time", "0"], "'--time': 0 is no time to wait; write seconds above 0, such as 20; see"),
    (
        ["arrange", "a.toml", "--time", "soon"],
        "'--time': soon is no time to wait; write seconds above 0, such as 20; see",
    ),
    (["arrange", "a.toml", "--time", "nan"], "'--time': nan is no time to wait"),
    (["arrange", "a.toml", "--time", "inf"], "'--time': inf is no time to wait"),
    (["export", "take-001", "x"], "'N': x will not do; write a whole number from 1; see sennit export --help"),
    (["check"], "sennit check: missing argument 'BRIEF'; see sennit check --help"),
    (["start"], "sennit start: missing argument 'DIR'; see sennit start --help"),
    (["arrange", "no\n\x1b[1msuch.toml", "--\x1b[1m\n"], "sennit arrange: no such option"),
]


@pytest.mark.parametrize(("arguments", "words"), WRONG, ids=[" ".join(case[0]) or "nothing" for case in WRONG])
def test_a_wrong_command_is_one_line(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.endswith("\n")
    assert said.err.count("\n") == 1
    assert words in said.err
    assert said.err.strip().isprintable()


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--help"]) == 0
    shown = capsys.readouterr().out
    assert {"arrange", "check", "start"} <= set(sennit.commands)
    for name in sennit.commands:
        assert f"\n  {name} " in shown
        assert run([name, "--help"]) == 0
    assert "..." not in shown.replace("[ARGS]...", "")


def test_the_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"sennit {__version__}\n"


@pytest.mark.parametrize("arguments", [[], ["--help"], *([name, "--help"] for name in sennit.commands)])
def test_help_loads_next_to_nothing(arguments: list[str]) -> None:
    """Counted in modules and not in time, which depends on the machine."""
    script = (
        "import sys, click\nbefore = set(sys.modules)\nfrom solver.cli import run\n"
        f"run({arguments!r})\nprint(' '.join(['loaded', *sorted(set(sys.modules) - before)]))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    loaded = done.stdout.splitlines()[-1].split()[1:]
    assert not {name.split(".")[0] for name in loaded} & set(HEAVY)
    others = [name for name in loaded if name.split(".")[0] not in sys.stdlib_module_names]
    assert {name.split(".")[0] for name in others} <= {"click", "solver"}
    assert len(others) <= FEW, others


def test_a_file_of_python_runs_it_too() -> None:
    done = subprocess.run([sys.executable, "-m", "solver", "--version"], capture_output=True, text=True, cwd=ROOT)
    assert (done.returncode, done.stdout, done.stderr) == (0, f"sennit {__version__}\n", "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_an_output_that_cannot_be_written_is_one_line() -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "solver", "--help"], stdout=full, stderr=subprocess.PIPE, text=True, cwd=ROOT
        )
    assert done.returncode == 2
    assert done.stderr == "sennit: no space left on device; check the path, its permissions and the disk\n"


def test_a_reader_that_goes_away_is_no_complaint() -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as gone:
        done = subprocess.run(
            [sys.executable, "-m", "solver", "--help"], stdout=gone, stderr=subprocess.PIPE, text=True, cwd=ROOT
        )
    assert done.stderr == ""


def test_a_key_pressed_before_a_command_listens(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def press(*arguments: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("solver.workspace.start_workspace", press)
    assert run(["start", "somewhere"]) == 130
    assert capsys.readouterr().err == "sennit: interrupted\n"


def test_a_file_that_the_system_refuses_is_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(*arguments: object) -> None:
        raise PermissionError(13, "Permission denied", "out/locked")

    monkeypatch.setattr("solver.workspace.start_workspace", refuse)
    assert run(["start", "somewhere"]) == 2
    assert capsys.readouterr().err == "out/locked: permission denied; check the path, its permissions and the disk\n"
