"""How much memory the main command needs."""

from __future__ import annotations

from statistics import median

from tests.bench.figure import Bench, Figure


def figures(bench: Bench) -> list[Figure]:
    """The most that was resident at once."""
    peaks = [run.peak for run in bench.runs]
    spread = f"{min(peaks):.0f} to {max(peaks):.0f}" if len(peaks) > 1 else ""
    return [Figure("peak memory", f"{median(peaks):.0f} MB", "600 MB", spread)]
