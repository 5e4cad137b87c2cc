"""The machine in words, for the head of the table: figures of different machines are not to be compared."""

from __future__ import annotations

import os
import platform
import re
from importlib.metadata import version
from pathlib import Path


def machine() -> str:
    """Processor, cores, load, system and the versions that matter."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    versions = ", ".join(f"{name} {version(name)}" for name in ("ortools", "python-constraint2", "numpy"))
    system = f"{platform.system()} {platform.machine()}"
    return f"{_processor()}, {cores} cores{load}; {system}, Python {platform.python_version()}, {versions}"


def _processor() -> str:
    info = Path("/proc/cpuinfo")
    found = re.search(r"model name\s*:\s*(.+)", info.read_text()) if info.is_file() else None
    return found[1].strip() if found else platform.processor() or "a processor without a name"
