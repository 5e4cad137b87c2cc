"""Stems and mix for the hand-over, in whole steps of 24 bits: the mix is exactly the sum of the stems."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.sound.loudness import loop_loudness, loop_true_peak
from solver.export.sound.rendering import HIGHEST_PEAK, Studio
from solver.export.sound.sampled import find_sampled
from solver.export.sound.wave import FULL_SCALE_24, Whole, whole_steps


@dataclass(frozen=True)
class StemSet:
    """Audio of one kind: ``stems`` by part and their sum ``mix``, of shape (samples, 2), in steps of 24 bits."""

    stems: dict[str, Whole]
    mix: Whole


@dataclass(frozen=True)
class Audio:
    """Everything that is written as WAV. ``loudness`` (LUFS) and ``true_peak`` (dBTP) are measured on the loop's mix.

    ``wet`` and ``dry`` are loops of exactly the same length; ``tail`` and ``dry_tail``, where they are wanted, play
    once and ring out.
    """

    rate: int
    engine: str
    wet: StemSet
    dry: StemSet
    loudness: float
    true_peak: float
    tail: StemSet | None = None
    dry_tail: StemSet | None = None


def audio_of(plan: Plan, arrangement: Arrangement, rate: int, *, tail: bool = False) -> Audio:
    """Render stems and mix at a rate (Hz), with the best sound that this machine has.

    One gain for all: the preview's, or less where a file would else peak above ``HIGHEST_PEAK``.
    """
    studio = Studio(plan, rate, find_sampled(rate))
    loop = studio.render(arrangement)
    made = [loop.stems, loop.dry]
    if tail:
        made += studio.ringing_out().stems(arrangement, loop.gain)
    room = min(map(_headroom, made))
    wet, dry, *once = (_whole(stems, room) for stems in made)
    heard = wet.mix / FULL_SCALE_24
    return Audio(rate, loop.engine, wet, dry, loop_loudness(heard, rate), loop_true_peak(heard), *once)


def _headroom(stems: dict[str, np.ndarray]) -> float:
    """The factor, 1 at most, with which neither a stem nor their sum has a true peak above the highest allowed."""
    waves = (*stems.values(), np.sum(list(stems.values()), axis=0))
    return float(10 ** (min(0.0, *(HIGHEST_PEAK - loop_true_peak(wave) for wave in waves)) / 20))


def _whole(stems: dict[str, np.ndarray], factor: float) -> StemSet:
    whole = {name: whole_steps(stem * factor) for name, stem in stems.items()}
    return StemSet(whole, np.add.reduce(list(whole.values()), axis=0, dtype=np.int32))
