"""Importing what the sound needs while something else runs: it takes about a second that nobody has to wait for."""

from __future__ import annotations

import importlib
import threading
from types import TracebackType

MODULES = ("scipy.signal", "pyloudnorm")


class Warming:
    """A thread that imports, from ``begin`` until it is done or, at the latest, until the context is left."""

    def __init__(self) -> None:
        self._thread: threading.Thread | None = None
        self._lock = threading.Lock()

    def begin(self) -> None:
        """Start importing, unless that has begun; from any thread."""
        with self._lock:
            if self._thread is None:
                self._thread = threading.Thread(target=_import_all, daemon=True)
                self._thread.start()

    def __enter__(self) -> Warming:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        # A process that ends amid an import may crash instead of ending.
        if self._thread is not None:
            self._thread.join()


def _import_all() -> None:
    for name in MODULES:
        importlib.import_module(name)
