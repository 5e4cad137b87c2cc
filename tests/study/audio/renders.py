"""Reference loops as sound, played on the plucked-string model, and their truth in seconds."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from solver.export.sound.rendering import RATE, Studio
from solver.export.sound.sampled import SampledPlayer
from solver.study.as_plan import arrangement_of, plan_of
from tests.study.studies import loop_study
from tests.study.writing import read_loop

if TYPE_CHECKING:
    import numpy


@cache
def rendered(name: str, sampled: SampledPlayer | None = None) -> numpy.ndarray:
    """A loop's sound, once from end to end, of shape (samples, 2) at 44,100 a second."""
    study = loop_study(name)
    return Studio(plan_of(study, name), RATE, sampled).preview(arrangement_of(study))


def write(path: Path, samples: numpy.ndarray, rate: int = RATE, subtype: str = "PCM_16") -> Path:
    """Samples in a file, whose ending says its kind."""
    import soundfile

    soundfile.write(str(path), samples, rate, subtype=subtype)
    return path


def bar_seconds(name: str) -> float:
    """How long a bar of a loop lasts."""
    loop = read_loop(name)
    return float(Fraction(4 * loop.metre[0], loop.metre[1])) * 60 / loop.brief["tempo"]


def played(name: str) -> list[tuple[float, float, int]]:
    """Start and end in seconds, and pitch, of every note of a loop."""
    loop = read_loop(name)
    slot = bar_seconds(name) / loop.grid
    events = (event for part in loop.parts.values() for event in part)
    return sorted((onset * slot, (onset + length) * slot, pitch) for onset, length, pitch in events)
