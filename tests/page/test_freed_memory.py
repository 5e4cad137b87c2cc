"""Freed memory goes back to the system where it can be asked to, after every job of the worker."""

from __future__ import annotations

import ctypes
import resource
import subprocess
import sys
import weakref
from pathlib import Path

import pytest

from solver.page.freed_memory import give_back, use_one_arena

MEGABYTES = 64


def resident() -> float:
    """Megabytes."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * resource.getpagesize() / 2**20


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells what is resident")
def test_what_is_freed_is_resident_no_more() -> None:
    if not hasattr(ctypes.CDLL(None), "malloc_trim"):
        pytest.skip("this C library cannot be asked")
    blocks = [ctypes.create_string_buffer(b"x" * 65536) for _ in range(16 * MEGABYTES)]
    last = ctypes.create_string_buffer(b"x" * 65536)  # what lies under it is not given back without being asked
    before = resident()
    del blocks
    give_back()
    assert resident() < before - MEGABYTES / 2
    assert last


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells what is resident")
def test_what_threads_freed_is_resident_no_more() -> None:
    if not hasattr(ctypes.CDLL(None), "mallinfo2"):
        pytest.skip("this C library has no arenas")
    assert kept_by_threads("use_one_arena()") < 5 < MEGABYTES / 4 < kept_by_threads("")


def kept_by_threads(first: str) -> float:
    """Megabytes that stay with a process of its own after a thread has freed them."""
    lines = f"""
import threading
from solver.page.freed_memory import give_back, use_one_arena
from tests.page.test_freed_memory import MEGABYTES, resident

def work():
    large = bytearray(20 * 2**20)
    del large  # from here on the allocator takes what is as large for usual
    blocks = [bytearray(60_000) for _ in range(MEGABYTES * 2**20 // 2 // 60_000)]

{first}
before = resident()
thread = threading.Thread(target=work)
thread.start()
thread.join()
give_back()
print(resident() - before)
"""
    return float(subprocess.run([sys.executable, "-c", lines], capture_output=True, text=True, check=True).stdout)


def test_what_refers_only_to_itself_is_freed() -> None:
    class Kept:
        itself: Kept

    kept = Kept()
    kept.itself = kept
    freed = weakref.ref(kept)
    del kept
    give_back()
    assert freed() is None


def test_nothing_happens_where_it_cannot_be_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ctypes.CDLL", lambda name: object())
    use_one_arena()
    give_back()
