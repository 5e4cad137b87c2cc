"""What views, sound and a first solve need, imported once the first view is on the screen.

It takes seconds, which nobody has to wait for: neither the first view nor, mostly, what comes after it. Each kind is
imported by one thread alone, whichever comes first: two that import modules which import each other may see one that is
only half there.
"""

from __future__ import annotations

import importlib
import re
import threading
from typing import Protocol

from starlette.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Receive, Scope, Send

from solver.export.sound.slow_imports import MODULES

VIEWS = ("solver.brief.schema", "solver.page.views", "solver.takes.validation", "solver.page.fields")
SOUND = (
    "solver.export.sound.rendering",
    "solver.export.sound.sampled",
    "solver.page.beat",
    "solver.page.mixing",
    "soundfile",
    *MODULES,
)
# Asked before the first view is there, and answered without: lists, and news.
LIGHT = re.compile(r"/api/(briefs|events|jobs|loops/[^/]+)")


class Startable(Protocol):
    """What has a process to start: the page's jobs."""

    def start(self) -> None:
        """Start it, if it does not run."""


class Warming:
    """Starts the process that solves, and imports in a thread; both once. May be used from any thread."""

    def __init__(self, jobs: Startable) -> None:
        self._jobs = jobs
        self._begun = threading.Lock()
        self._thread: threading.Thread | None = None
        self._locks = {VIEWS: threading.Lock(), SOUND: threading.Lock()}
        self._done: set[tuple[str, ...]] = set()

    def begin(self) -> None:
        """Begin, unless that has been done."""
        with self._begun:
            if self._thread is None:
                self._thread = threading.Thread(target=self._warm, daemon=True)
                self._thread.start()

    def join(self) -> None:
        """Wait until it is over: a process that ends amid an import may crash instead of ending."""
        if self._thread is not None:
            self._thread.join()

    def ensure(self, kind: tuple[str, ...]) -> None:
        """Import VIEWS or SOUND, or wait for whoever does."""
        with self._locks[kind]:
            if kind not in self._done:
                for name in kind:
                    importlib.import_module(name)
                self._done.add(kind)

    def lacks(self, path: str) -> list[tuple[str, ...]]:
        """What an address needs and is not there yet."""
        if not path.startswith("/api/") or LIGHT.fullmatch(path):
            return []
        return [kind for kind in ((VIEWS, SOUND) if path.endswith(".wav") else (VIEWS,)) if kind not in self._done]

    def _warm(self) -> None:
        self._jobs.start()
        for kind in self._locks:
            self.ensure(kind)


class Warmed:
    """ASGI middleware: a request that needs what is not imported yet has it imported first."""

    def __init__(self, app: ASGIApp, *, warming: Warming) -> None:
        self._app = app
        self._warming = warming

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""
        if scope["type"] == "http":
            for kind in self._warming.lacks(scope["path"]):
                await run_in_threadpool(self._warming.ensure, kind)
        await self._app(scope, receive, send)
