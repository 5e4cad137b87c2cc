"""Stems and mix for the hand-over, in whole steps of 24 bits: the mix is exactly the sum of the stems."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.sound.loudness import loop_loudness, loop_true_peak
from solver.export.sound.rendering import Rendering, Studio
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
    """Render stems and mix at a rate (Hz), with the best sound that this machine has."""
    sampled = find_sampled(rate)
    loop = Studio(plan, rate, sampled).render(arrangement)
    once = Studio(plan, rate, sampled, once=True).render(arrangement, loop.gain) if tail else None
    room = _headroom(loop) if once is None else min(_headroom(loop), _headroom(once))
    wet = _whole(loop.stems, room)
    heard = wet.mix / FULL_SCALE_24
    return Audio(
        rate,
        loop.engine,
        wet,
        _whole(loop.dry, room),
        loop_loudness(heard, rate),
        loop_true_peak(heard),
        _whole(once.stems, room) if once else None,
        _whole(once.dry, room) if once else None,
    )


def _headroom(rendering: Rendering) -> float:
    """The factor, 1 at most, with which no stem and no sum of stems goes beyond full scale."""
    sums = [np.sum(list(stems.values()), axis=0) for stems in (rendering.stems, rendering.dry)]
    waves = [*rendering.stems.values(), *rendering.dry.values(), *sums]
    highest = max(float(np.abs(wave).max()) for wave in waves)
    return min(1.0, (1 - 2**-16) / highest) if highest else 1.0


def _whole(stems: dict[str, np.ndarray], factor: float) -> StemSet:
    whole = {name: whole_steps(stem * factor) for name, stem in stems.items()}
    return StemSet(whole, np.add.reduce(list(whole.values()), axis=0, dtype=np.int32))
