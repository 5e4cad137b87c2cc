"""From an arrangement to audio: one stem for each part, their sum, one gain for all."""

from __future__ import annotations

import math
import os
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.sound.events import Event, events_of, loop_samples
from solver.export.sound.loudness import loop_loudness, loop_true_peak
from solver.export.sound.placement import Place, places_of
from solver.export.sound.playing import STRING_TAIL, StringPlayer
from solver.export.sound.reverb import ROOM_TAIL, Room
from solver.export.sound.sampled import TAIL as SAMPLED_TAIL
from solver.export.sound.sampled import SampledPlayer, find_sampled
from solver.export.sound.slow_imports import import_all

Mono = NDArray[np.float32]
Stereo = NDArray[np.float32]

RATE = 44_100
# AES TD1004.1.15-10 (from memory): from -20 to -16 LUFS, at most -1 dBTP. Its low end, as loops that are compared by
# ear must be equally loud: all loops of the examples in briefs/ reach -18.5 LUFS under that peak, and many not -16.
AIM = -20.0  # LUFS
HIGHEST_PEAK = -1.0  # dBTP
MODEL = "plucked-string model"


@dataclass(frozen=True)
class Rendering:
    """Audio of one loop: ``stems`` by part with their share of the room, ``dry``, and ``mix``, of shape (samples, 2).

    The mix is the sum of the stems. ``loudness`` is in LUFS and ``true_peak`` in dBTP, both of the loop played on and
    on; ``gain`` is the one factor that everything has been multiplied by; ``engine`` says how the sound was made.
    """

    stems: dict[str, Stereo]
    dry: dict[str, Stereo]
    mix: Stereo
    rate: int
    loudness: float
    true_peak: float
    gain: float
    engine: str


class Studio:
    """Renders arrangements of one plan: the room and the notes already computed are shared between them.

    Loops are rendered round and round; a studio for ``once`` plays through one time and lets everything ring out.
    """

    def __init__(
        self, plan: Plan, rate: int = RATE, sampled: SampledPlayer | None = None, *, once: bool = False
    ) -> None:
        import_all()  # before any thread that renders
        self.plan, self.rate, self.once = plan, rate, once
        self.samples = loop_samples(plan, rate)
        if once:
            self.samples += round((ROOM_TAIL + (SAMPLED_TAIL if sampled else STRING_TAIL)) * rate)
        self._room = Room(self.samples, rate)
        self._strings = StringPlayer(rate)
        self._sampled = sampled

    @property
    def engine(self) -> str:
        """How the sound is made, in words."""
        return self._sampled.engine if self._sampled else MODEL

    def render(self, arrangement: Arrangement) -> Rendering:
        """One arrangement as stems and mix, at the preview's gain. Equal input gives equal samples."""
        with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:  # whose number changes no sample
            stems, dries = self._parts(arrangement, pool)
            loudness, peak, factor = self._levelled(_sum(stems, self.samples), pool)
        for stem in (*stems.values(), *dries.values()):
            stem *= factor
        mix = _sum(stems, self.samples)
        return Rendering(stems, dries, mix, self.rate, loudness, peak, float(factor), self.engine)

    def stems(self, arrangement: Arrangement, gain: float) -> tuple[dict[str, Stereo], dict[str, Stereo]]:
        """Stems with their share of the room, and dry, at a gain."""
        with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
            made = self._parts(arrangement, pool)
        for stems in made:
            for stem in stems.values():
                stem *= np.float32(gain)
        return made

    def ringing_out(self) -> Studio:
        """A studio of the same sound that plays once; it shares the notes already computed."""
        studio = Studio(self.plan, self.rate, self._sampled, once=True)
        studio._strings = self._strings
        return studio

    def _parts(self, arrangement: Arrangement, pool: Executor) -> tuple[dict[str, Stereo], dict[str, Stereo]]:
        events = events_of(self.plan, arrangement, self.rate, once=self.once)
        made = list(pool.map(self._part, events, events.values()))
        wet = {name: wet for name, (_, wet) in zip(events, made, strict=True)}
        return wet, {name: dry for name, (dry, _) in zip(events, made, strict=True)}

    def preview(self, arrangement: Arrangement) -> Stereo:
        """The mix alone: the same as that of ``render`` but for rounding, as all parts go through the room together."""
        places = places_of(self.plan)
        mix = _silence(self.samples)
        sent = np.zeros(self.samples, dtype=np.float32)
        for name, events in events_of(self.plan, arrangement, self.rate, once=self.once).items():
            place, dry = places[name], self._dry(name, events)
            sent += dry * np.float32(place.gain * place.wet)
            _add_dry(mix, dry, place)
        mix += self._room.wet(sent)
        mix *= self._levelled(mix)[2]
        return mix

    def _part(self, name: str, events: list[Event]) -> tuple[Stereo, Stereo]:
        """A part in its place, dry and with its share of the room."""
        place, line = places_of(self.plan)[name], self._dry(name, events)
        dry = _silence(self.samples)
        _add_dry(dry, line, place)
        return dry, dry + self._room.wet(line * np.float32(place.gain * place.wet))

    def _dry(self, name: str, events: list[Event]) -> Mono:
        """A part dry, without DC (what rings out once has none of its own, and begins and ends at rest)."""
        instrument = self.plan.part(name).instrument
        if self._sampled:
            line = self._sampled.part(instrument.program, events, self.samples)
        else:
            line = self._strings.part(instrument.sound, events, self.samples)
        return line if self.once else line - line.mean()

    def _levelled(self, mix: Stereo, pool: Executor | None = None) -> tuple[float, float, np.float32]:
        """Loudness and true peak that a mix will have, and the gain that brings it there."""
        measured = pool.submit(loop_loudness, mix, self.rate) if pool else None
        peak = loop_true_peak(mix)
        loudness = measured.result() if measured else loop_loudness(mix, self.rate)
        audible = math.isfinite(loudness) and math.isfinite(peak)
        lift = min(AIM - loudness, HIGHEST_PEAK - peak) if audible else 0.0
        return loudness + lift, peak + lift, np.float32(10 ** (lift / 20))


def render(plan: Plan, arrangement: Arrangement, rate: int = RATE) -> Rendering:
    """Render one arrangement with the best sound this machine has: samples where they are found, else the model."""
    return Studio(plan, rate, find_sampled(rate)).render(arrangement)


def _add_dry(stereo: Stereo, dry: Mono, place: Place) -> None:
    for channel, gain in enumerate(place.sides):
        stereo[:, channel] += dry * np.float32(place.gain * gain)


def _sum(stems: dict[str, Stereo], samples: int) -> Stereo:
    mix = _silence(samples)
    for stem in stems.values():
        mix += stem
    return mix


def _silence(samples: int) -> Stereo:
    """Two silent channels, each in one piece of memory: all that is done here is done to a channel."""
    return np.zeros((2, samples), dtype=np.float32).T
