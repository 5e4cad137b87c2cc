"""How long ``--help`` takes, process start and end included."""

from __future__ import annotations

import subprocess
import sys
import time

from tests.bench.command import ROOT
from tests.bench.figure import Bench, Figure, seconds


def figures(bench: Bench) -> list[Figure]:
    """The time, after one run that fills the system's caches."""
    _start()
    return [seconds("sennit --help", bench.repeated("--help", _start), "0.3 s")]


def _start() -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, "-m", "solver", "--help"], cwd=ROOT, capture_output=True, check=True)
    return time.perf_counter() - began
