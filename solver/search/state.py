"""A state is what a part may sound in one note slot: a pitch, a string and fret, or a whole voicing."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class State:
    """Pitches (MIDI numbers, low to high) and, where the hand matters, the (string, fret) of each."""

    pitches: tuple[int, ...]
    places: tuple[tuple[int, int], ...] | None = None

    @property
    def top(self) -> int:
        """The highest pitch, which is the one that melodic rules count."""
        return self.pitches[-1]
