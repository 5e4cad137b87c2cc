"""Takes: numbered folders that hold what one command found, enough to make everything in them again.

    with open_take(Path("out/ferry-lights"), header) as take:
        take.add(ranked)                      # at once on disk; a crash loses nothing
        folder = take.finish([ranked, ...])   # out/ferry-lights/take-001

``complete_unfinished`` makes takes of what crashed processes left, and ``read_take`` reads one back. A take holds
``take.json``, and for each arrangement, best first, ``1.mid``, ``1.wav``, ``1.svg``, and one page ``index.html``.
"""

from solver.takes.folder import OpenTake, complete_unfinished, list_takes, open_take
from solver.takes.record import Parent, Take, TakeError, TakeHeader, read_take

__all__ = [
    "OpenTake",
    "Parent",
    "Take",
    "TakeError",
    "TakeHeader",
    "complete_unfinished",
    "list_takes",
    "open_take",
    "read_take",
]
