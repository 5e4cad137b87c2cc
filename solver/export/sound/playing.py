"""Parts played on model strings: each note computed once, laid into the loop at its place, its tail over the seam."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.events import Event
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
        for event in events:
            whole = self._note(sound, event, release)
            end = LEAD + event.held + release
            wave = whole[:end] * np.float32((event.velocity / FULL_VELOCITY) ** LOUDER)
            wave[-release:] *= fade
            add_round(line, wave, event.start - LEAD)
        return line

    def _note(self, sound: str, event: Event, release: int) -> Samples:
        block = block_for(event.held + release)
        key = (sound, event.pitch, block, hardness_of(event.velocity))
        if key not in self._notes:
            if (sound, block) not in self._benches:
                self._benches[sound, block] = bench(SOUNDS[sound], block, self.rate)
            self._notes[key] = pluck(self._benches[sound, block], event.pitch, key[3]).astype(np.float32)
        return self._notes[key]


def add_round(line: Samples, wave: Samples, start: int) -> None:
    """Add a wave into a loop from a sample on (which may lie before its start), round and round."""
    length = len(line)
    at, done = start % length, 0
    while done < len(wave):
        piece = min(length - at, len(wave) - done)
        line[at : at + piece] += wave[done : done + piece]
        at, done = 0, done + piece
