"""Libraries of the sound that take about a second to import, and a way to import them that threads may share."""

from __future__ import annotations

import importlib
import threading

MODULES = ("scipy.signal", "pyloudnorm")
_ALONE = threading.Lock()


def import_all() -> None:
    """Import them, in one thread at a time: two that import scipy at once may each see one that is only half there."""
    with _ALONE:
        for name in MODULES:
            importlib.import_module(name)
