"""``sennit study`` on sound."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.cli import run
from tests.study.audio.renders import rendered, write
from tests.study.damage import midi_bytes


@pytest.fixture
def sound(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    return str(write(Path("harbour.wav"), rendered("tide-table")))


@pytest.mark.audio
def test_estimates_then_a_brief(sound: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", sound, "--out", "harbour.toml"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("Estimates from the sound")
    assert "  Tempo: about 144 quarter notes a minute" in out
    assert "harbour.toml: written" in out
    assert plan_from(read_brief(Path("harbour.toml"))).tempo == 144


@pytest.mark.audio
def test_json(sound: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", sound, "--json", "--meter", "2/4"]) == 0
    facts = json.loads(capsys.readouterr().out)
    assert (facts["estimate"], facts["meter"], facts["meter_given"], facts["bars"]) == (True, "2/4", True, 8)


def test_refusals_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bad.wav").write_bytes(b"RIFF1234WAVE")
    Path("notes.mid").write_bytes(midi_bytes("mist-lanterns"))
    for arguments, said in (
        (["bad.wav", "--page", "a.html"], "bad.wav: a page shows notes that were written"),
        (["bad.wav", "--meter", "9/9"], "sennit study: --meter: "),
        (["notes.mid", "--meter", "3/4"], "notes.mid: --meter counts the bars of a sound"),
    ):
        assert run(["study", *arguments]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith(said)
        assert err.count("\n") == 1


@pytest.mark.audio
def test_a_broken_file_gives_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bad.wav").write_bytes(b"RIFF1234WAVE")
    assert run(["study", "bad.wav", "--out", "a.toml"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("bad.wav: the sound cannot be read (")
    assert err.endswith("); give WAV, FLAC, OGG or MP3\n")
    assert not Path("a.toml").exists()
