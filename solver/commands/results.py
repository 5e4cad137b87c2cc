"""What ``sennit arrange`` prints: one table, the take, and which sound was used; or the same facts as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from solver.arrangement import Ranked
from solver.commands.printing import Column, print_line, print_table

FILES = {"midi": "mid", "audio": "wav", "picture": "svg"}
TOTAL_DIGITS = 1
COLUMNS = (
    Column("rank", right=True),
    Column("total", right=True),
    Column("proof", wraps=True),
    Column("what sets it apart", wraps=True),
)
DISTANCE = Column("differs", right=True)


def print_results(
    arrangements: Sequence[Ranked],
    folder: Path,
    sound: str,
    remarks: Iterable[str],
    distances: Sequence[float] | None = None,
) -> None:
    """The table of a take's arrangements, best first, and where they are.

    ``distances`` (0 to 1) say how far each is from what it was made from.
    """
    rows = [
        (
            str(rank),
            f"{ranked.total:.{TOTAL_DIGITS}f}",
            *([f"{100 * distances[rank - 1]:.0f} %"] if distances else []),
            ranked.proof,
            ranked.summary,
        )
        for rank, ranked in enumerate(arrangements, start=1)
    ]
    print_table((*COLUMNS[:2], *([DISTANCE] if distances else []), *COLUMNS[2:]), rows)
    print_line()
    _print_nearest(arrangements)
    print_line(f"take: {folder}")
    print_line(f"look and listen: {folder / 'index.html'}")
    print_line(f"previews: {sound}{better_sound()}")
    for remark in remarks:
        print_line(remark)


def _print_nearest(arrangements: Sequence[Ranked]) -> None:
    """Where each arrangement comes nearest to what it keeps clear of; nothing where it keeps clear of nothing."""
    from solver.study.nearest import MEASURE, nearest_words

    for rank, ranked in enumerate(arrangements, start=1):
        for entry in ranked.nearest:
            print_line(f"{rank} is nearest to {nearest_words(entry)}")
    if any(ranked.nearest for ranked in arrangements):
        print_line(MEASURE)
        print_line()


def better_sound() -> str:
    """What a machine lacks for sampled sound, in brackets; empty where it lacks nothing."""
    from solver.export.sound.sampled import missing

    lacking = missing()
    return f" (for sampled sound see README: {lacking})" if lacking else ""


def result_data(arrangements: Sequence[Ranked], folder: Path) -> list[dict[str, Any]]:
    """The arrangements of a take, best first, as JSON values without their notes, which the take holds."""
    return [
        {
            "rank": rank,
            "total": ranked.total,
            "bound": ranked.bound,
            "proved": ranked.proved,
            "proof": ranked.proof,
            "summary": ranked.summary,
            **({"excused": [asdict(breach) for breach in ranked.excused]} if ranked.excused else {}),
            "marks": [asdict(mark) for mark in ranked.marks],
            "nearest": [asdict(entry) for entry in ranked.nearest],
            "files": {kind: str(folder / f"{rank}.{ending}") for kind, ending in FILES.items()},
        }
        for rank, ranked in enumerate(arrangements, start=1)
    ]
