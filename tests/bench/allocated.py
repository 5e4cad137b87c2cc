"""What the process has in use: memory that Python and the C library have handed out and not got back."""

from __future__ import annotations

import ctypes
import gc
import os
import re
import sys
import tempfile
from functools import _lru_cache_wrapper  # pyright: ignore[reportPrivateUsage]

from tests.bench.command import MEGABYTE

FIELDS = "arena ordblks smblks hblks hblkhd usmblks fsmblks uordblks fordblks keepcost"


class _Mallinfo2(ctypes.Structure):
    """As in malloc.h of glibc 2.33 and later."""

    _fields_ = tuple((name, ctypes.c_size_t) for name in FIELDS.split())


def in_use() -> float:
    """Megabytes. How memory is cut up, and how much of it is held free, makes no difference."""
    return (_of_python() + _of_the_library()) / MEGABYTE


def empty_caches() -> None:
    """Forget what caches of this program that have a bound remember; one without a bound is a leak."""
    # By its type: to ask a weak reference for its class fails where what it refers to is gone.
    for one in [one for one in gc.get_objects() if type(one) is _lru_cache_wrapper]:
        if one.__module__.startswith("solver.") and one.cache_info().maxsize is not None:
            one.cache_clear()


def _of_python() -> int:
    """Bytes of small objects. Python tells them on the standard error output alone."""
    sys.stderr.flush()
    with tempfile.TemporaryFile() as told:
        kept = os.dup(2)
        try:
            os.dup2(told.fileno(), 2)
            sys._debugmallocstats()  # pyright: ignore[reportPrivateUsage]  # the one place where bytes are told
        finally:
            os.dup2(kept, 2)
            os.close(kept)
        told.seek(0)
        found = re.search(rb"# bytes in allocated blocks\s*=\s*([\d,]+)", told.read())
    assert found is not None
    return int(found[1].replace(b",", b""))


def _of_the_library() -> int:
    """Bytes of everything else; none where the C library does not tell."""
    ask = getattr(ctypes.CDLL(None), "mallinfo2", None) if sys.platform == "linux" else None
    if ask is None:
        return 0
    ask.restype = _Mallinfo2
    told = ask()
    return told.uordblks + told.hblkhd
