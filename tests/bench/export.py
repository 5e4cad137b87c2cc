"""The hand-over: the whole of it as a command, rendering against real time, and fingering of a long line."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from functools import partial
from pathlib import Path
from statistics import median

from solver.arrangement import Note
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.export.fingering import fingering
from solver.export.sound.rendering import Studio
from solver.export.sound.sampled import VARIABLE
from solver.take import TakeHeader, open_take
from tests.bench.command import FERRY_LIGHTS, ROOT
from tests.bench.figure import Bench, Figure, seconds
from tests.export.sample_arrangements import sample_arrangement, sample_ranked

EVERYTHING = ("--keys", "C minor, D minor", "--tail")
LONG = 64  # bars
STEPS = (-5, -4, -3, -2, -1, 1, 2, 3, 4, 5)


def figures(bench: Bench) -> list[Figure]:
    """Seconds of the command and of fingering, and how much faster than real time three parts are rendered."""
    text = FERRY_LIGHTS.read_text(encoding="utf-8")
    plan = plan_from_text(text, "ferry-lights")
    with tempfile.TemporaryDirectory() as folder:
        with open_take(Path(folder) / "out", TakeHeader("ferry-lights", text, 0), plan) as opened:
            take = opened.finish(sample_ranked(plan, 1))
        exports = bench.repeated("export", partial(_export, take, Path(folder) / "handed"))
    speeds = bench.repeated("rendering", partial(_speed, plan))
    fingered = bench.repeated("fingering", partial(_finger, plan))
    name = "export: stems wet, dry and with tail, score, MIDI in three keys"
    spread = f"{min(speeds):.0f} to {max(speeds):.0f}" if len(speeds) > 1 else ""
    return [
        seconds(name, exports, "6 s"),
        Figure("rendering three parts, stems and mix", f"{median(speeds):.0f} x real time", "60 x", spread),
        seconds(f"fingering of {LONG} bars, 16 notes each", fingered, "0.5 s"),
    ]


def _export(take: Path, to: Path) -> float:
    """The command in a process of its own, with model strings."""
    command = [sys.executable, "-m", "solver", "export", str(take), "1", "--to", str(to), *EVERYTHING]
    began = time.perf_counter()
    subprocess.run(command, cwd=ROOT, env={**os.environ, VARIABLE: ""}, capture_output=True, check=True)
    return time.perf_counter() - began


def _speed(plan: Plan) -> float:
    """Seconds of audio for each second of rendering, in a studio that has rendered nothing yet."""
    arrangement = sample_arrangement(plan)
    began = time.perf_counter()
    rendering = Studio(plan).render(arrangement)
    return len(rendering.mix) / rendering.rate / (time.perf_counter() - began)


def _finger(plan: Plan) -> float:
    """A line of sixteenths that wanders over the whole neck."""
    part = replace(plan.parts[0], repeat_every=None)
    dice, pitch, notes = random.Random(1), 64, []
    for slot in range(LONG * plan.metre.grid):
        pitch = min(max(pitch + dice.choice(STEPS), part.instrument.low), part.instrument.high)
        notes.append(Note(part.name, slot, 1, pitch))
    began = time.perf_counter()
    fingering(replace(plan, bars=LONG), part, notes)
    return time.perf_counter() - began
