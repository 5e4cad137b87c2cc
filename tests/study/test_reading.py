"""Files that are no reference: one line each, that says what is wrong and what would be right."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from mido import MidiFile, MidiTrack

from solver.study import reading
from solver.study.errors import StudyError
from solver.study.reading import read_reference
from tests.study.damage import midi_bytes, xml_bytes


def line_for(path: Path) -> str:
    with pytest.raises(StudyError) as caught:
        read_reference(path)
    line = str(caught.value)
    assert line.startswith(f"{path}:")
    assert "\n" not in line
    return line[len(str(path)) + 1 :]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", " the file is empty; give a MIDI file"),
        (b"just words", " this is neither MIDI nor MusicXML; give a MIDI file"),
        (b"\x89PNG\r\n", " this is neither MIDI nor MusicXML"),
        (b"RIFF\0\0\0\0WAVEfmt ", " this is sound, not notes"),
        (b"fLaC\0\0", " this is sound"),
        (b"MThd", " ends within its header; the file is broken"),
        (b"<score", "1:1: this is not sound XML (unclosed token)"),
        (b"<html></html>", " the file holds html, not score-partwise"),
        (b"<score-timewise></score-timewise>", " the file holds score-timewise, not score-partwise"),
        (b"PK\x03\x04 no archive", " the packed file is broken"),
    ],
)
def test_what_is_no_reference(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "file.mid"
    path.write_bytes(data)
    assert line_for(path).startswith(words)


def test_audio_is_known_by_its_name_too(tmp_path: Path) -> None:
    path = tmp_path / "sound.mp3"
    path.write_bytes(b"\0\0\0\0")
    assert "this is sound" in line_for(path)


def test_which_files_are_sound(tmp_path: Path) -> None:
    """Nothing is opened that is no file: reading from a pipe would never end."""
    os.mkfifo(tmp_path / "pipe.wav")
    for name, data, wanted in (("a.mid", b"fLaC", True), ("b.mp3", b"\0\0", True), ("c.wav", b"MThd", False)):
        (tmp_path / name).write_bytes(data)
        assert reading.is_audio(tmp_path / name) is wanted
    for path in (tmp_path / "pipe.wav", tmp_path, tmp_path / "gone.wav", Path("null\0byte.wav")):
        assert not reading.is_audio(path)


def test_what_is_no_file(tmp_path: Path) -> None:
    assert line_for(tmp_path) == f" this is a folder; {reading.GIVE}"
    assert line_for(tmp_path / "none.mid") == f" there is no such file; {reading.GIVE}"
    os.mkfifo(tmp_path / "pipe.mid")
    assert line_for(tmp_path / "pipe.mid") == f" this is not a file; {reading.GIVE}"


def test_a_path_that_no_file_can_have() -> None:
    with pytest.raises(StudyError, match="there is no such file"):
        read_reference("null\0byte.mid")


def test_an_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "locked.mid"
    path.write_bytes(midi_bytes("mist-lanterns"))

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert line_for(path) == " the file cannot be read (permission denied); check its permissions and its path"


def test_a_file_that_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "large.mid"
    path.write_bytes(midi_bytes("mist-lanterns"))
    monkeypatch.setattr(reading, "LARGEST", 100)
    assert "the file is larger than" in line_for(path)


def test_a_file_without_notes(tmp_path: Path) -> None:
    path = tmp_path / "silent.mid"
    file = MidiFile()
    file.tracks.append(MidiTrack())
    file.save(str(path))
    assert line_for(path) == f" the file holds no pitched notes; {reading.GIVE}"


def test_the_kind_is_known_by_the_first_bytes_not_by_the_name(tmp_path: Path) -> None:
    path = tmp_path / "song.txt"
    for data in (
        midi_bytes("mist-lanterns"),
        xml_bytes("mist-lanterns", 2),
        b"  \n" + xml_bytes("mist-lanterns", 2)[38:],
    ):
        path.write_bytes(data)
        assert [voice.name for voice in read_reference(path).voices] == ["lead", "low", "middle"]
