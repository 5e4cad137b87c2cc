"""The files of a take besides its record: ``N.mid``, ``N.svg`` and ``N.wav``, best first, and ``index.html``."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from solver.arrangement import Ranked
from solver.brief.feel import GRID
from solver.brief.plan import Plan
from solver.export.midi import midi_bytes
from solver.export.page import page_html
from solver.export.picture import picture_svg
from solver.takes.previews import Previews
from solver.takes.record import TakeHeader

SECONDS_AT_ONCE = 100.0  # of audio that may be in the making together: some 3 MB of memory each

Progress = Callable[[int, int], None]  # arrangements whose files are written, of how many


def write_files(
    folder: Path,
    plan: Plan,
    header: TakeHeader,
    arrangements: list[Ranked],
    previews: Previews,
    on_progress: Progress | None = None,
) -> str:
    """Write the files of all arrangements into a folder; returns which sound the previews have.

    Previews that are not ready yet are rendered on all cores; no byte depends on how many there are.
    """
    feel = plan.feel if plan.feel.asked else GRID  # by default the file to work with is on the grid
    for number, ranked in enumerate(arrangements, start=1):
        (folder / f"{number}.mid").write_bytes(midi_bytes(plan, ranked.arrangement, feel))
        _write_text(folder / f"{number}.svg", picture_svg(plan, ranked.arrangement))
    studio = previews.studio
    _write_text(folder / "index.html", page_html(plan, header, studio.engine, arrangements))

    def write_preview(number: int) -> None:
        previews.write(arrangements[number - 1].arrangement, folder / f"{number}.wav")

    at_once = max(1, int(SECONDS_AT_ONCE * studio.rate / studio.samples))
    with ThreadPoolExecutor(max_workers=min(len(arrangements), os.cpu_count() or 1, at_once)) as pool:
        numbers = range(1, len(arrangements) + 1)
        for done, _ in enumerate(pool.map(write_preview, numbers), start=1):
            if on_progress:
                on_progress(done, len(arrangements))
    return studio.engine


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
