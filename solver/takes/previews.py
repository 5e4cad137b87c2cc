"""Previews that are rendered while the search still runs, on a core that it leaves free."""

from __future__ import annotations

import threading
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from solver.arrangement import Arrangement

if TYPE_CHECKING:
    from solver.brief.plan import Plan
    from solver.export.sound.rendering import Studio

PREVIEW = "preview-"


class Previews:
    """The sound of a take's arrangements. Nothing is rendered or imported before ``begin``; from any thread."""

    def __init__(self, folder: Path, plan: Plan) -> None:
        self._folder, self._plan = folder, plan
        self._lock, self._opening = threading.Lock(), threading.Lock()
        self._added: list[Arrangement] = []
        self._pool: ThreadPoolExecutor | None = None
        self._files: dict[Arrangement, Future[Path]] = {}
        self._studio: Studio | None = None

    @property
    def studio(self) -> Studio:
        """What renders, with the best sound that this machine has."""
        from solver.export.sound.rendering import RATE, Studio
        from solver.export.sound.sampled import find_sampled

        with self._opening:
            if self._studio is None:
                self._studio = Studio(self._plan, RATE, find_sampled(RATE))
            return self._studio

    def add(self, arrangement: Arrangement) -> None:
        """Render this one too, in its turn."""
        with self._lock:
            self._added.append(arrangement)
            if self._pool is not None:
                self._submit(self._pool, arrangement)

    def begin(self) -> None:
        """Start to render what was added and what will be, one after the other."""
        with self._lock:
            if self._pool is None:
                self._pool = ThreadPoolExecutor(max_workers=1)
                for arrangement in self._added:
                    self._submit(self._pool, arrangement)

    def end(self) -> None:
        """Wait for the one that is being rendered, and begin no other."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)

    def write(self, arrangement: Arrangement, path: Path) -> None:
        """A preview's file, as it lies ready or rendered now; after ``end``. Raises OSError where it cannot be."""
        ready = self._files.get(arrangement)
        if ready is not None and not ready.cancelled():
            ready.result().replace(path)
        else:
            self._render(arrangement, path)

    def _submit(self, pool: ThreadPoolExecutor, arrangement: Arrangement) -> None:
        path = self._folder / f"{PREVIEW}{len(self._files) + 1:06}.wav"
        if arrangement not in self._files:
            self._files[arrangement] = pool.submit(self._render, arrangement, path)

    def _render(self, arrangement: Arrangement, path: Path) -> Path:
        from solver.export.sound.wave import wav_bytes

        studio = self.studio
        path.write_bytes(wav_bytes(studio.preview(arrangement), studio.rate))
        return path
