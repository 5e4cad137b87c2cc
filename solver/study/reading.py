"""A file as a reference: which kind it is by its first bytes, and one clear line where it cannot be read."""

from __future__ import annotations

from pathlib import Path

from solver.study.errors import StudyError, Unreadable
from solver.study.reference import Reference

LARGEST = 20_000_000  # bytes
AUDIO_STARTS = (b"RIFF", b"fLaC", b"OggS", b"ID3", b"FORM", b"\xff\xfb", b"\xff\xf3", b"\xff\xf2")
AUDIO_ENDINGS = frozenset({".wav", ".flac", ".ogg", ".mp3", ".aif", ".aiff", ".m4a", ".opus"})
XML_STARTS = (b"<", b"\xef\xbb\xbf<", b"\xff\xfe<\0", b"\xfe\xff\0<")
GIVE = "give a MIDI file (.mid) or a score (.musicxml, .mxl)"


def read_reference(path: Path | str) -> Reference:
    """The reference in a MIDI or MusicXML file. Raises StudyError with one line that says what is wrong."""
    path = Path(path)
    try:
        return _reference(path, _bytes_of(path))
    except Unreadable as problem:
        raise StudyError(path, problem.wrong, problem.right, problem.line, problem.column) from problem


def is_audio(path: Path) -> bool:
    """Whether a file holds sound, by its first bytes or its ending; not so where it cannot be read or is a folder."""
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            start = file.read(16)
    except OSError:
        return False
    return bool(start) and not start.startswith((b"MThd", *XML_STARTS)) and _sounds(start, path)


def _sounds(data: bytes, path: Path) -> bool:
    return data.startswith(AUDIO_STARTS) or path.suffix.lower() in AUDIO_ENDINGS


def _reference(path: Path, data: bytes) -> Reference:
    if not data:
        raise Unreadable("the file is empty", GIVE)
    if data.startswith(b"MThd"):
        from solver.study.midi_source import read_midi_reference

        reference = read_midi_reference(data)
    elif data.startswith(b"PK") or data.lstrip().startswith(XML_STARTS):
        from solver.study.xml_source import read_xml_reference

        reference = read_xml_reference(data)
    elif _sounds(data, path):
        raise Unreadable("this is sound, not notes", GIVE)
    else:
        raise Unreadable("this is neither MIDI nor MusicXML", GIVE)
    if not any(voice.tones for voice in reference.voices):
        raise Unreadable("the file holds no pitched notes", GIVE)
    return reference


def _bytes_of(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise Unreadable("this is a folder", GIVE)
        if not path.exists():
            raise Unreadable("there is no such file", GIVE)
        if not path.is_file():
            raise Unreadable("this is not a file", GIVE)
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except ValueError:  # a path with a character that no path can hold
        raise Unreadable("there is no such file", GIVE) from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise Unreadable(f"the file cannot be read ({reason})", "check its permissions and its path") from error
    if len(data) > LARGEST:
        raise Unreadable(f"the file is larger than {LARGEST // 1_000_000} MB", "give a file of one loop or song")
    return data
