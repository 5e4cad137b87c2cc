"""Stems for the page: each part of an arrangement as a WAV file of exactly the loop's length, at any tempo."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import replace
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement

if TYPE_CHECKING:
    from solver.brief.plan import Plan
    from solver.export.sound.rendering import Studio

LARGEST_CACHE = 250_000_000  # bytes
STUDIOS = 3

Stems = dict[str, bytes]
_Key = tuple[str, Arrangement]


class SoundCache:
    """Renders stems and keeps the latest. May be used from any thread; equal requests at once are rendered once."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._making: dict[_Key, threading.Lock] = {}
        self._stems: OrderedDict[_Key, Stems] = OrderedDict()
        self._studios: list[tuple[Plan, Studio]] = []

    def stems(self, plan: Plan, arrangement: Arrangement, tempo: float | None = None) -> Stems:
        """WAV bytes by part. ``tempo`` (quarter notes a minute) stands in for the plan's."""
        plan = replace(plan, tempo=tempo) if tempo else plan
        key = (repr(plan), arrangement)  # a plan holds tables and cannot be hashed itself
        with self._lock:
            making = self._making.setdefault(key, threading.Lock())
        try:
            with making:
                return self._known(key) or self._remembered(key, self._rendered(plan, arrangement))
        finally:
            with self._lock:
                self._making.pop(key, None)

    def _known(self, key: _Key) -> Stems | None:
        with self._lock:
            if key in self._stems:
                self._stems.move_to_end(key)
            return self._stems.get(key)

    def _remembered(self, key: _Key, stems: Stems) -> Stems:
        with self._lock:
            self._stems[key] = stems
            while len(self._stems) > 1 and sum(map(_size, self._stems.values())) > LARGEST_CACHE:
                self._stems.popitem(last=False)
        return stems

    def _rendered(self, plan: Plan, arrangement: Arrangement) -> Stems:
        from solver.export.sound.wave import wav_bytes

        made = self._studio(plan).render(arrangement)
        return {name: wav_bytes(stem, made.rate) for name, stem in made.stems.items()}

    def _studio(self, plan: Plan) -> Studio:
        """A studio of this plan, which remembers the notes it has computed."""
        from solver.export.sound.rendering import RATE, Studio
        from solver.export.sound.sampled import find_sampled

        with self._lock:
            for other, studio in self._studios:
                if other == plan:
                    return studio
        studio = Studio(plan, RATE, find_sampled(RATE))
        with self._lock:
            self._studios = [*self._studios, (plan, studio)][-STUDIOS:]
        return studio


def _size(stems: Stems) -> int:
    return sum(map(len, stems.values()))
