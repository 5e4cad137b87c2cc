"""Sampled sound through FluidSynth, where this machine has it: pyfluidsynth, libfluidsynth and a General MIDI font.

The font is the file that SENNIT_SOUNDFONT names, else the first one in the usual system folders; an empty
SENNIT_SOUNDFONT keeps to the string model. FluidSynth's own reverb and chorus stay off: placement and room are those
of every other sound here. FluidSynth starts notes in steps of 64 samples (1.5 ms at 44.1 kHz).
"""

from __future__ import annotations

import contextlib
import ctypes
import io
import os
import threading
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.events import Event
from solver.export.sound.playing import add_round

Samples = NDArray[np.float32]

VARIABLE = "SENNIT_SOUNDFONT"
FOLDERS = (
    "/usr/share/sounds/sf3",
    "/usr/share/sounds/sf2",
    "/usr/share/soundfonts",
    "/usr/local/share/soundfonts",
    "/opt/homebrew/share/soundfonts",
)
ENDINGS = (".sf2", ".sf3")
GAIN = 0.7
TAIL = 3.0  # seconds after the last note ends in which its sample fades
BANK, CHANNEL = 0, 0


def find_font() -> Path | None:
    """The sound font to use, if there is one."""
    named = os.environ.get(VARIABLE)
    if named is not None:
        return Path(named) if named and Path(named).is_file() else None
    for folder in FOLDERS:
        fonts = sorted(path for path in Path(folder).glob("*") if path.suffix in ENDINGS and path.is_file())
        if fonts:
            return fonts[0]
    return None


def find_sampled(rate: int) -> SampledPlayer | None:
    """A player of samples, or None where the library or a font is missing or the font cannot be read."""
    font, library = find_font(), _library()
    if font is None or library is None:
        return None
    try:
        return SampledPlayer(library, font, rate)
    except ValueError:
        return None


def missing() -> str:
    """What sampled sound lacks on this machine, in words; empty where nothing is."""
    if _library() is None:
        return "pyfluidsynth or libfluidsynth is not installed"
    return "" if find_font() else f"no sound font in {VARIABLE} or the system's folders"


class SampledPlayer:
    """Plays parts from a sound font, one at a time: threads that share it wait for each other."""

    def __init__(self, library: Any, font: Path, rate: int) -> None:
        """Raises ValueError where the font cannot be read."""
        self.rate = rate
        self.engine = f"sampled sound ({font.resolve().name})"
        self._turn = threading.Lock()
        options = {"synth.reverb.active": 0, "synth.chorus.active": 0, "synth.cpu-cores": 1}
        self._synth = library.Synth(gain=GAIN, samplerate=float(rate), channels=16, **options)
        self._font = self._synth.sfload(str(font))
        if self._font < 0:
            self._synth.delete()
            raise ValueError(f"{font} is no sound font")
        self._write = library.cfunc(
            "fluid_synth_write_float",
            ctypes.c_int,
            ("synth", ctypes.c_void_p, 1),
            ("len", ctypes.c_int, 1),
            ("lout", ctypes.c_void_p, 1),
            ("loff", ctypes.c_int, 1),
            ("lincr", ctypes.c_int, 1),
            ("rout", ctypes.c_void_p, 1),
            ("roff", ctypes.c_int, 1),
            ("rincr", ctypes.c_int, 1),
        )

    def part(self, program: int, events: list[Event], samples: int) -> Samples:
        """A dry part, mono, of exactly the loop's ``samples``; what sounds past its end is added onto its start."""
        line = np.zeros(samples, dtype=np.float32)
        if events:
            with self._turn:
                add_round(line, self._play(program, events), 0)
        return line

    def _play(self, program: int, events: list[Event]) -> Samples:
        """The part once through, with its tail."""
        synth = self._synth
        synth.system_reset()
        synth.program_select(CHANNEL, self._font, BANK, program)
        length = max(event.start + event.held for event in events) + int(TAIL * self.rate)
        # (sample, off before on, pitch, velocity)
        changes = [(event.start, 1, event.pitch, event.velocity) for event in events]
        changes += [(event.start + event.held, 0, event.pitch, 0) for event in events]
        sides = np.zeros((2, length), dtype=np.float32)
        now = 0
        for at, on, pitch, velocity in sorted(changes):
            self._fill(sides, now, at)
            now = at
            if on:
                synth.noteon(CHANNEL, pitch, velocity)
            else:
                synth.noteoff(CHANNEL, pitch)
        self._fill(sides, now, length)
        synth.all_sounds_off(CHANNEL)
        return sides.mean(axis=0, dtype=np.float32)

    def _fill(self, sides: NDArray[np.float32], start: int, end: int) -> None:
        """Let the synthesizer write the samples from start to end of both channels."""
        if end > start:
            left, right = (side.ctypes.data_as(ctypes.c_void_p) for side in sides)
            self._write(self._synth.synth, end - start, left, start, 1, right, start, 1)


def _library() -> Any:
    """The pyfluidsynth module, or None. It prints where CI is set: that is kept off standard output."""
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            import fluidsynth
    except (ImportError, OSError):
        return None
    return fluidsynth
