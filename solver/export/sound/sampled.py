"""Sampled sound through FluidSynth, where this machine has it: pyfluidsynth, libfluidsynth and a General MIDI font.

The font is the file that SENNIT_SOUNDFONT names, else the first one in the usual system folders; an empty
SENNIT_SOUNDFONT keeps to the string model. FluidSynth's own reverb and chorus stay off: placement and room are those
of every other sound here. FluidSynth starts notes in steps of 64 samples (1.5 ms at 44.1 kHz), so times are rounded
to them. It also keeps traces of what it played before: each part gets a synthesizer of its own.

Fonts are not in tune, single samples up to some 15 cents off. So each key of a program is played once and measured
(``tuning``), and every synthesizer is given a table that puts it right. Of a muted guitar the samples from E flat 4 up
may be thumps without a pitch, or missing: there the nearest key that has one is struck and bent to the note.
"""

from __future__ import annotations

import ctypes
import importlib.util
import os
import sys
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.events import Event
from solver.export.sound.looping import add_round
from solver.export.sound.tuning import MUTED, SUSTAINED, cents_off, needed

Samples = NDArray[np.float32]

VARIABLE = "SENNIT_SOUNDFONT"
LIBRARY = "fluidsynth"  # pyfluidsynth's module
_LOADING = threading.Lock()
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
CHANNEL, FONT, BANK = 0, 1, 0  # FluidSynth counts the fonts it has loaded from 1
STEP = 64  # samples
KEYS = 128
MEASURED = range(23, 97)  # every note of any instrument here
VELOCITY = 90  # at which it is measured; how hard a key is struck hardly changes its pitch
MUTED_GUITAR = 28  # General MIDI Level 1
WHOLE_CENTS = 0.5  # FluidSynth drops what is less than a cent
TABLE = 1  # number of the tuning in the synthesizer
# MIDI 1.0: registered parameter 0 is how many semitones the wheel bends; controllers 101 and 100 choose it, 6 sets it.
PARAMETER, DATA = ((101, 0), (100, 0)), 6
UTMOST = 8191  # of the wheel's 8192 steps up


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
    font = find_font()
    library = _library() if font is not None else None
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


@dataclass(frozen=True)
class Tuned:
    """A program put in tune: for each MIDI pitch the key that is struck, and the cents to which it is then tuned."""

    keys: tuple[int, ...]
    cents: tuple[float, ...]


class SampledPlayer:
    """Plays parts from a sound font. Threads may share it."""

    def __init__(self, library: Any, font: Path, rate: int) -> None:
        """Raises ValueError where the font cannot be read."""
        self.rate = rate
        self.engine = f"sampled sound ({font.resolve().name})"
        self._library, self._path = library, str(font)
        self._tuned: dict[int, Tuned] = {}
        self._measuring = threading.Lock()
        self._synthesizer().delete()
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
        tuned = self._in_tune(program)
        for run in _runs(events, tuned):
            add_round(line, self._play(program, run, tuned), 0)
        return line

    def _synthesizer(self) -> Any:
        options = {
            "synth.reverb.active": 0,
            "synth.chorus.active": 0,
            "synth.cpu-cores": 1,
            "synth.dynamic-sample-loading": 1,  # of the program alone: unpacking a whole font takes seconds
        }
        synth = self._library.Synth(gain=GAIN, samplerate=float(self.rate), channels=16, **options)
        if synth.sfload(self._path) < 0:
            synth.delete()
            raise ValueError(f"{self._path} is no sound font")
        return synth

    def _play(self, program: int, events: list[Event], tuned: Tuned) -> Samples:
        """The events once through, with their tail."""
        length = _whole_steps(max(event.start + event.held for event in events) + TAIL * self.rate)
        # (sample, off before on, key, velocity)
        changes = [(_whole_steps(event.start), 1, tuned.keys[event.pitch], event.velocity) for event in events]
        changes += [(_whole_steps(event.start + event.held), 0, tuned.keys[event.pitch], 0) for event in events]
        sides = np.zeros((2, length), dtype=np.float32)
        now = 0
        synth = self._synthesizer()
        try:
            synth.program_select(CHANNEL, FONT, BANK, program)
            self._tune(synth, {tuned.keys[event.pitch]: tuned.cents[event.pitch] for event in events})
            _bend(synth, events[0].pitch - tuned.keys[events[0].pitch])
            for at, on, key, velocity in sorted(changes):
                self._fill(synth, sides, now, at)
                now = at
                if on:
                    synth.noteon(CHANNEL, key, velocity)
                else:
                    synth.noteoff(CHANNEL, key)
            self._fill(synth, sides, now, length)
        finally:
            synth.delete()
        return sides.mean(axis=0, dtype=np.float32)

    def _tune(self, synth: Any, keys: dict[int, float]) -> None:
        """Give a synthesizer the cents to which keys are tuned."""
        table = (ctypes.c_double * KEYS)(*(keys.get(key, 100.0 * key) for key in range(KEYS)))
        self._library.fluid_synth_activate_key_tuning(synth.synth, BANK, TABLE, b"sennit", table, 0)
        self._library.fluid_synth_activate_tuning(synth.synth, CHANNEL, BANK, TABLE, 1)

    def _in_tune(self, program: int) -> Tuned:
        with self._measuring:
            if program not in self._tuned:
                self._tuned[program] = self._measured(program)
            return self._tuned[program]

    def _measured(self, program: int) -> Tuned:
        """Each pitch on its own key, or on the nearest that has a pitch; always measured in the same order."""
        times = MUTED if program == MUTED_GUITAR else SUSTAINED
        synth = self._synthesizer()
        try:
            synth.program_select(CHANNEL, FONT, BANK, program)
            off = {key: self._off(synth, key, key, times) for key in MEASURED}
            heard = [key for key in MEASURED if off[key] is not None]
            keys = list(range(KEYS))
            for pitch in MEASURED if heard else ():
                keys[pitch] = min(heard, key=lambda key, pitch=pitch: (abs(key - pitch), key))
                if keys[pitch] != pitch:
                    off[pitch] = self._off(synth, keys[pitch], pitch, times)
        finally:
            synth.delete()
        cents = (100.0 * key + WHOLE_CENTS - (off.get(pitch) or 0.0) for pitch, key in enumerate(keys))
        return Tuned(tuple(keys), tuple(cents))

    def _off(self, synth: Any, key: int, pitch: int, times: tuple[float, float]) -> float | None:
        """Cents by which a key is too high that is bent to a pitch: the higher, the faster its sample is over."""
        start, window = (seconds * 2 ** ((key - pitch) / 12) for seconds in times)
        length = needed(self.rate)
        sides = np.zeros((2, length + STEP), dtype=np.float32)
        _bend(synth, pitch - key)
        synth.noteon(CHANNEL, key, VELOCITY)
        self._fill(synth, sides, 0, length)
        synth.all_sounds_off(CHANNEL)
        self._fill(synth, sides, length, length + STEP)
        return cents_off(sides[:, :length].mean(axis=0), pitch, self.rate, (start, window))

    def _fill(self, synth: Any, sides: NDArray[np.float32], start: int, end: int) -> None:
        """Let a synthesizer write the samples from start to end of both channels."""
        if end > start:
            left, right = (side.ctypes.data_as(ctypes.c_void_p) for side in sides)
            self._write(synth.synth, end - start, left, start, 1, right, start, 1)


def _bend(synth: Any, semitones: int) -> None:
    """Bend all keys. A tuning cannot move one to another pitch: FluidSynth then takes the sample of that pitch."""
    for controller, value in (*PARAMETER, (DATA, abs(semitones))):
        synth.cc(CHANNEL, controller, value)
    synth.pitch_bend(CHANNEL, UTMOST if semitones > 0 else -UTMOST if semitones else 0)


def _runs(events: list[Event], tuned: Tuned) -> list[list[Event]]:
    """The events that one synthesizer can play together: a pitch on another's key has a synthesizer of its own."""
    runs: dict[int | None, list[Event]] = {}
    for event in events:
        borrowed = tuned.keys[event.pitch] != event.pitch
        runs.setdefault(event.pitch if borrowed else None, []).append(event)
    return list(runs.values())


def _whole_steps(samples: float) -> int:
    return round(samples / STEP) * STEP


def _library() -> Any:
    """The pyfluidsynth module, or None.

    It prints where CI is set. Output that is redirected meanwhile would be lost to all other threads; so it is given a
    ``print`` of its own, which is silent.
    """
    with _LOADING:
        if LIBRARY in sys.modules:
            return sys.modules[LIBRARY]
        spec = importlib.util.find_spec(LIBRARY)
        if spec is None or spec.loader is None:
            return None
        module = importlib.util.module_from_spec(spec)
        vars(module)["print"] = lambda *words, **options: None
        try:
            spec.loader.exec_module(module)
        except (ImportError, OSError):
            return None
        sys.modules[LIBRARY] = module
        return module
