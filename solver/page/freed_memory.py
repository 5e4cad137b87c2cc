"""Memory of finished jobs, given back to the system."""

from __future__ import annotations

import gc
import sys


def give_back() -> None:
    """Let the system have what the allocator keeps of freed models: after a long search some hundred megabytes.

    What only refers to itself is freed first. Only some C libraries of Linux can be asked to give back; elsewhere what
    is freed stays with the process.
    """
    gc.collect()
    if sys.platform == "linux":
        import ctypes

        getattr(ctypes.CDLL(None), "malloc_trim", lambda pad: 0)(0)
