"""What a first solve and a first picture need, made ready once the first view is on the screen.

Importing it takes seconds, which nobody has to wait for: neither the first view nor, mostly, the first solve.
"""

from __future__ import annotations

import importlib
import threading
from typing import Protocol

from solver.commands.warming import MODULES

NEEDED = (
    "solver.brief.schema",
    "solver.page.views",
    "solver.takes.validation",
    "solver.page.fields",
    "solver.export.sound.rendering",
    "solver.export.sound.sampled",
    "solver.page.beat",
    "solver.export.midi",
    "soundfile",
    *MODULES,
)


class Startable(Protocol):
    """What has a process to start: the page's jobs."""

    def start(self) -> None:
        """Start it, if it does not run."""


class Warming:
    """Starts the process that solves, and imports in a thread; both once. May be used from any thread."""

    def __init__(self, jobs: Startable) -> None:
        self._jobs = jobs
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None

    def begin(self) -> None:
        """Begin, unless that has been done."""
        with self._lock:
            if self._thread is not None:
                return
            self._thread = threading.Thread(target=_import_all, daemon=True)
        self._jobs.start()
        self._thread.start()

    def join(self) -> None:
        """Wait until it is over: a process that ends amid an import may crash instead of ending."""
        if self._thread is not None:
            self._thread.join()


def _import_all() -> None:
    for name in NEEDED:
        importlib.import_module(name)
