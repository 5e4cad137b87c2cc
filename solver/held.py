"""Notes that are to come out as they are: what a lock keeps of an earlier arrangement, and lines of one's own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.arrangement import Note

Aspect = Literal["notes", "rhythm", "pitch"]


@dataclass(frozen=True)
class Held:
    """One stretch of a part, slots ``start`` to ``end`` (exclusive), and the notes that begin there.

    ``notes``: onsets, lengths and pitches stay. ``rhythm``: onsets and lengths stay, pitches are free. ``pitch``: as
    many notes with the same pitches in the same order, wherever they fall. ``words`` name the source for a person:
    ``lock low:1-4`` or ``briefs/quay.toml:12: from = "my-lead.mid"``.
    """

    part: str
    start: int
    end: int
    aspect: Aspect
    notes: tuple[Note, ...]
    words: str
