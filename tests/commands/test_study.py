"""``sennit study``: what it prints and writes, and how it refuses."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path
from typing import Any

import pytest

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.cli import run
from tests.study.damage import midi_bytes, xml_bytes

NOTES = "give a MIDI file (.mid) or a score (.musicxml, .mxl)"
SCORE = "give a MusicXML file (score-partwise)"


@pytest.fixture
def reference(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = Path("mist-lanterns.mid")
    path.write_bytes(midi_bytes("mist-lanterns"))
    return path


def test_findings_then_a_brief(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", str(reference)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("The piece\n  8 bars of 4/4 at 120 quarter notes a minute")
    assert "\nlead (lead)\n" in out
    assert out.index("Together") < out.index("# Written by study from mist-lanterns.mid") < out.index("[parts.lead]")
    assert list(Path().iterdir()) == [reference]


def test_json(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", str(reference), "--json"]) == 0
    facts = json.loads(capsys.readouterr().out)
    assert facts["key"] == "B minor"
    assert facts["chords"] == ["Bm", "Bm", "G", "G"] * 2
    assert facts["parts"]["lead"]["varied"] == [[8, 4.0]]


def test_the_brief_is_written_and_valid(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", str(reference), "--out", "harbour.toml"]) == 0
    assert "harbour.toml: written" in capsys.readouterr().out
    assert plan_from(read_brief(Path("harbour.toml"))).key.name == "B minor"
    assert sorted(path.name for path in Path().iterdir()) == ["harbour.toml", "mist-lanterns.mid"]


def test_json_stays_one_object_where_files_are_written(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", str(reference), "--json", "--out", "a.toml", "--page", "a.html"]) == 0
    json.loads(capsys.readouterr().out)
    assert Path("a.html").read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_score(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "score.musicxml"
    path.write_bytes(xml_bytes("mist-lanterns"))
    assert run(["study", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["key"] == "B minor"


@pytest.mark.parametrize("option", ["--out", "--page"])
def test_nothing_is_overwritten(reference: Path, capsys: pytest.CaptureFixture[str], option: str) -> None:
    Path("mine.toml").write_text("mine", encoding="utf-8")
    assert run(["study", str(reference), option, "mine.toml"]) == 2
    out, err = capsys.readouterr()
    assert (out, err) == ("", "mine.toml: there is something of this name already; name a new file\n")
    assert Path("mine.toml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("option", ["--out", "--page"])
def test_what_came_while_the_reference_was_studied_is_not_overwritten(
    reference: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, option: str
) -> None:
    def meanwhile(*given: Any, **named: Any) -> tuple[int, str]:
        Path("mine.toml").write_text("mine", encoding="utf-8")
        return mkstemp(*given, **named)

    mkstemp = tempfile.mkstemp
    monkeypatch.setattr(tempfile, "mkstemp", meanwhile)
    assert run(["study", str(reference), option, "mine.toml"]) == 2
    assert "mine.toml: there is something of this name already" in capsys.readouterr().err
    assert Path("mine.toml").read_text(encoding="utf-8") == "mine"
    assert not list(Path().glob(".mine*"))


def test_where_a_file_system_has_no_links_the_brief_is_written_all_the_same(
    reference: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*given: Any) -> None:
        raise PermissionError

    monkeypatch.setattr("os.link", refused)
    assert run(["study", str(reference), "--out", "mine.toml"]) == 0
    assert "bars = " in Path("mine.toml").read_text(encoding="utf-8")
    assert not list(Path().glob(".mine*"))


def test_a_folder_that_is_not_there(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["study", str(reference), "--out", "none/a.toml"]) == 2
    assert capsys.readouterr().err == "none/a.toml: there is no folder none; make it, or name another\n"


def test_a_folder_that_cannot_be_written(
    reference: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "os.access", lambda path, mode, **_: mode != os.W_OK
    )  # permission bits mean nothing to a superuser
    assert run(["study", str(reference), "--out", "a.toml"]) == 2
    right = "name a file in a folder of your own"
    assert capsys.readouterr() == ("", f"a.toml: the folder cannot be written to; {right}\n")


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (b"", f"bad.mid: the file is empty; {NOTES}\n"),
        (b"MThd\0\0\0\6\0\1\0\2\1\xe0", "bad.mid: says it has 2 tracks and holds 0; the file is broken\n"),
        (b"<a>\n<b>\n</a>", f"bad.mid:3:3: this is not sound XML (mismatched tag); {SCORE}\n"),
    ],
)
def test_bad_files_give_one_line_and_write_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], data: bytes, line: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bad.mid").write_bytes(data)
    assert run(["study", "bad.mid", "--out", "a.toml", "--page", "a.html"]) == 2
    assert capsys.readouterr() == ("", line)
    assert [path.name for path in Path().iterdir()] == ["bad.mid"]


def test_a_metre_that_briefs_do_not_know(reference: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = midi_bytes("mist-lanterns").replace(b"\xff\x58\x04\x04\x02", b"\xff\x58\x04\x09\x03")
    reference.write_bytes(data)
    assert run(["study", str(reference)]) == 0
    assert "No brief can be written: a brief has no metre 9/8." in capsys.readouterr().out
    assert run(["study", str(reference), "--out", "a.toml"]) == 2
    assert capsys.readouterr().err == (
        "mist-lanterns.mid: no brief can be written: a brief has no metre 9/8; study it without --out\n"
    )
    assert not Path("a.toml").exists()
