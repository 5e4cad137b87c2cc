"""The files of a take besides its record: ``N.mid``, ``N.wav`` and ``N.svg``, best first, and ``index.html``."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from solver.arrangement import Ranked
from solver.brief.plan import Plan
from solver.export.midi import midi_bytes
from solver.export.picture import picture_svg
from solver.takes.record import TakeHeader

Progress = Callable[[int, int], None]  # arrangements whose files are written, of how many


def write_files(
    folder: Path, plan: Plan, header: TakeHeader, arrangements: list[Ranked], on_progress: Progress | None = None
) -> str:
    """Write the files of all arrangements into a folder; returns which sound the previews have."""
    for number, ranked in enumerate(arrangements, start=1):
        (folder / f"{number}.mid").write_bytes(midi_bytes(plan, ranked.arrangement))
        (folder / f"{number}.svg").write_text(picture_svg(plan, ranked.arrangement), encoding="utf-8", newline="\n")
        if on_progress:
            on_progress(number, len(arrangements))
    return ""
