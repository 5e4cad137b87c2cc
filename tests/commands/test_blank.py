"""Blank words on the command line: one line that says what to write, and nothing is done."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.cli import run
from solver.export.midi import midi_bytes
from solver.take import TakeHeader, open_take
from tests.commands.fake_search import NAME, write_brief
from tests.export.sample_arrangements import sample_arrangement, sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan

BRIEF, TAKE, MIDI = f"{NAME}.toml", f"out/{NAME}/take-001", "notes.mid"
PATHS = [
    ("arrange",),
    ("arrange", BRIEF, "--out"),
    ("arrange", BRIEF, "--avoid"),
    ("check",),
    ("check", BRIEF),
    ("rework",),
    ("rework", BRIEF, "--from-midi"),
    ("rework", TAKE, "--out"),
    ("rework", TAKE, "--avoid"),
    ("study",),
    ("study", MIDI, "--out"),
    ("study", MIDI, "--page"),
    ("export", TAKE, "1", "--to"),
    ("takes",),
    ("takes", BRIEF, "--out"),
    ("start",),
]
NUMBERS = [
    ("arrange", BRIEF, "--count"),
    ("arrange", BRIEF, "--seed"),
    ("arrange", BRIEF, "--time"),
    ("rework", TAKE, "--from"),
    ("export", TAKE),
    ("page", "--port"),
]
WORDS = [
    ("rework", TAKE, "--lock"),
    ("rework", TAKE, "--change"),
    ("study", MIDI, "--meter"),
    ("export", TAKE, "1", "--keys"),
    ("export", TAKE, "1", "--rate"),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a brief, a take of it, a MIDI file, and the beginning of a sound."""
    folder = tmp_path_factory.mktemp("workspace")
    plan = sample_plan(NAME)
    write_brief(folder)
    with open_take(folder / TAKE.removesuffix("/take-001"), TakeHeader(NAME, TEXTS[NAME], 0), plan) as opened:
        opened.finish(sample_ranked(plan, 1))
    (folder / MIDI).write_bytes(midi_bytes(plan, sample_arrangement(plan)))
    (folder / "tide.wav").write_bytes(b"RIFF1234WAVE")
    return folder


def refused(arguments: list[str], folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """The one line with which a command that is wrong ends, having written nothing."""
    before = sorted(map(str, folder.rglob("*")))
    assert run(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert sorted(map(str, folder.rglob("*"))) == before
    return err


@pytest.mark.parametrize("blank", ["", " "])
@pytest.mark.parametrize("arguments", PATHS, ids=" ".join)
def test_a_path(
    arguments: tuple[str, ...],
    blank: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(folder)
    assert f'"{blank}" names nothing; write a path such as ' in refused([*arguments, blank], folder, capsys)


@pytest.mark.parametrize("arguments", NUMBERS, ids=" ".join)
def test_a_number(
    arguments: tuple[str, ...], folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(folder)
    assert ': "" ' in refused([*arguments, ""], folder, capsys)


@pytest.mark.parametrize("blank", ["", " ", ",", "A major,"])
@pytest.mark.parametrize("arguments", WORDS, ids=" ".join)
def test_a_word(
    arguments: tuple[str, ...],
    blank: str,
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(folder)
    refused([*arguments, blank], folder, capsys)


def test_a_metre_of_a_sound(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(folder)
    monkeypatch.setattr("solver.study.audio.study.study_audio", lambda *given: pytest.fail("it was taken"))
    assert run(["study", "tide.wav", "--meter", ""]) == 2
    assert 'sennit study: --meter: "" is not a metre; ' in capsys.readouterr().err
