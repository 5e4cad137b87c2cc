"""Short marks by which the page tells whether two things are the same."""

from __future__ import annotations

import hashlib

from solver.arrangement import Arrangement


def version_of(arrangement: Arrangement) -> str:
    """The same for the same notes, wherever they stand."""
    notes = [(note.part, note.onset, note.length, note.pitch, note.ornament) for note in arrangement.notes]
    return version_of_text(repr(notes))


def version_of_text(text: str) -> str:
    """The same for the same text."""
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:16]
