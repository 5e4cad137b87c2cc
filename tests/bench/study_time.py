"""How long ``sennit study`` takes on a 64-bar file of four tracks, process start and end included."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from tests.bench.command import ROOT
from tests.bench.figure import Bench, Figure, seconds
from tests.study.writing import Event, ReferenceLoop, midi_of, read_loop

BARS = 64
TRACKS = 4


def figures(bench: Bench) -> list[Figure]:
    """The time, after one run that fills the system's caches."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.mid"
        midi_of(long_loop()).save(str(path))
        _study(path)
        times = bench.repeated("study", lambda: _study(path))
    return [seconds(f"sennit study, {BARS} bars, {TRACKS} tracks", times, "1.5 s")]


def long_loop() -> ReferenceLoop:
    """A reference loop again and again, a note higher each time, so that nothing comes back exactly."""
    loop = read_loop("all-hands-below")
    slots = loop.brief["bars"] * loop.grid
    times = BARS // loop.brief["bars"]
    parts = {name: _drawn_out(events, slots, times) for name, events in list(loop.parts.items())[:TRACKS]}
    return replace(loop, brief={**loop.brief, "bars": BARS}, parts=parts)


def _drawn_out(events: tuple[Event, ...], slots: int, times: int) -> tuple[Event, ...]:
    made = []
    for turn in range(times):
        for index, (onset, length, pitch) in enumerate(events):
            made.append((onset + turn * slots, length, pitch + (index == turn)))
    return tuple(made)


def _study(path: Path) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-m", "solver", "study", str(path)], cwd=ROOT, capture_output=True, check=True)
    return time.perf_counter() - began
