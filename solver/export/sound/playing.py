"""Parts played on model strings: each note computed once, laid into the loop at its place, its tail over the seam."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.events import Event
from solver.export.sound.looping import add_round
from solver.export.sound.sounds import SOUNDS
from solver.export.sound.strings import LEAD, Bench, bench, block_for, hardness_of, pluck

Samples = NDArray[np.float32]
LOUDER = 1.5  # power of the velocity by which a note's level grows
FULL_VELOCITY = 100
STRING_TAIL = max(sound.release for sound in SOUNDS.values()) + 0.1  # seconds after the last slot, feel included


class StringPlayer:
    """Plays parts at one rate and remembers the notes it has computed. Safe to share between threads."""

    def __init__(self, rate: int) -> None:
        self.rate = rate
        self._benches: dict[tuple[str, int], Bench] = {}
        self._notes: dict[tuple[str, int, int, float], Samples] = {}

    def part(self, sound: str, events: list[Event], samples: int) -> Samples:
        """A dry part, mono, of exactly the loop's ``samples``; what sounds past its end is added onto its start."""
        line = np.zeros(samples, dtype=np.float32)
        release = int(SOUNDS[sound].release * self.rate)
        fade = (0.5 + 0.5 * np.cos(np.pi * np.arange(release) / release)).astype(np.float32)
        # One block for all notes of a kind, the longest's: the shorter ones are its beginning.
        held: dict[tuple[int, float], int] = {}
        for event in events:
            kind = (event.pitch, hardness_of(event.velocity))
            held[kind] = max(event.held, held.get(kind, 0))
        for event in events:
            kind = (event.pitch, hardness_of(event.velocity))
            whole = self._note(sound, *kind, block_for(held[kind] + release))
            wave = whole[: LEAD + event.held + release] * np.float32((event.velocity / FULL_VELOCITY) ** LOUDER)
            wave[-release:] *= fade
            add_round(line, wave, event.start - LEAD)
        return line

    def _note(self, sound: str, pitch: int, hardness: float, block: int) -> Samples:
        key = (sound, pitch, block, hardness)
        if key not in self._notes:
            if (sound, block) not in self._benches:
                self._benches[sound, block] = bench(SOUNDS[sound], block, self.rate)
            self._notes[key] = pluck(self._benches[sound, block], pitch, hardness).astype(np.float32)
        return self._notes[key]
