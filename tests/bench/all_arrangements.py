"""How long a producer waits for all arrangements of ferry-lights."""

from __future__ import annotations

from tests.bench.figure import Bench, Figure, seconds


def figures(bench: Bench) -> list[Figure]:
    """Until the search is over, and until the whole take is written."""
    return [
        seconds("six arrangements found", [run.searched for run in bench.runs], "20 s"),
        seconds("the take written, previews and all", [run.done for run in bench.runs]),
    ]
