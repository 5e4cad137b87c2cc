"""Memory of finished jobs, given back to the system."""

from __future__ import annotations

import gc
import sys

ARENA_MAX = -8  # M_ARENA_MAX of glibc's malloc.h


def use_one_arena() -> None:
    """Let all threads that are still to come allocate in one place.

    A thread otherwise has an arena of its own, of which glibc never gives back what lies at its end, not even when it
    is asked to: up to 64 megabytes each, as much as the largest model that was ever solved there. One costs a search on
    two cores no time that can be measured. Other C libraries do not know the option, and nothing happens.
    """
    if sys.platform == "linux":
        import ctypes

        getattr(ctypes.CDLL(None), "mallopt", lambda option, value: 0)(ARENA_MAX, 1)


def give_back() -> None:
    """Let the system have what the allocator keeps of freed models: after a long search some hundred megabytes.

    What only refers to itself is freed first. Only some C libraries of Linux can be asked to give back; elsewhere what
    is freed stays with the process.
    """
    gc.collect()
    if sys.platform == "linux":
        import ctypes

        getattr(ctypes.CDLL(None), "malloc_trim", lambda pad: 0)(0)
