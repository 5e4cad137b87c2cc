"""MIDI files from elsewhere, kept beside the briefs: lines of one's own, and references to keep clear of."""

from __future__ import annotations

import os
import secrets
from itertools import count
from pathlib import Path

from solver.page.paths import MIDI, Workspace
from solver.page.refusal import Refusal

MARK = b"MThd"  # with which every MIDI file begins (Standard MIDI Files 1.0)


def name_of(given: str) -> str:
    """A file's name without its ending, such as every system takes."""
    from solver.export.names import safe

    return safe(Path(given).stem) or "reference"


def check(data: bytes) -> None:
    """Raises Refusal where that is no MIDI file with notes in it."""
    from solver.study.errors import Unreadable
    from solver.study.midi_source import read_midi_reference

    if not data.startswith(MARK):
        raise Refusal(422, "this is no MIDI file; choose one that ends in .mid")
    try:
        notes = read_midi_reference(data).voices
    except Unreadable as problem:
        raise Refusal(422, f"{problem.wrong}; {problem.right}") from None
    if not notes:
        raise Refusal(422, "it holds no pitched notes; choose a MIDI file in which something is played")


def keep(workspace: Workspace, data: bytes, given: str) -> str:
    """Keep a file; returns its path as a brief names it. What is there stays: another file of that name gets a number.

    Raises Refusal where it cannot be read as MIDI or cannot be written.
    """
    check(data)
    stem = name_of(given)
    names = (stem if number == 1 else f"{stem} {number}" for number in count(1))
    path = next(path for path in map(workspace.midi, names) if not path.exists() or path.read_bytes() == data)
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(data)
        os.replace(part, path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Refusal(500, f"{path.name} cannot be written ({error.strerror or error})") from error
    return f"{MIDI}/{path.name}"
