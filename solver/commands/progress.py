"""The progress line: on standard error while a command works, and only where that is a terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.text import Text

    from solver.search.outcome import Progress

REFRESHES = 4  # a second


@dataclass
class ProgressLine:
    """What the line says now. ``deadline`` is on the monotonic clock, in seconds."""

    wanted: int
    stopping: Callable[[], bool]
    deadline: float | None = None
    best: float | None = None  # total of the best solution so far, 0 to 100
    words: str = "counting out the rhythms"

    def search(self, progress: Progress) -> None:
        """The search goes on."""
        self.best = progress.best
        words = [f"{progress.skeletons_done} of {progress.skeletons} rhythms done"]
        words += [f"best {self.best:.1f}"] if self.best is not None else []
        self.words = ", ".join([*words, f"{progress.found} of {self.wanted} found"])

    def writing(self, done: int, of: int) -> None:
        """The search is over, and the take is being written."""
        self.deadline = None
        self.words = f"writing the take, {done} of {of}"

    def __str__(self) -> str:
        if self.stopping():
            return f"{self.words}; stopping, what is done is kept"
        if self.deadline is None:
            return self.words
        return f"{self.words}, {max(0, round(self.deadline - time.monotonic()))} s left"

    def __rich__(self) -> Text:
        from rich.text import Text

        return Text(str(self), no_wrap=True, overflow="ellipsis", end="")


@contextmanager
def shown(line: ProgressLine) -> Iterator[ProgressLine]:
    """Show the line while this is entered; where standard error is no terminal, nothing is shown."""
    if not sys.stderr.isatty():
        yield line
        return
    from rich.console import Console
    from rich.live import Live

    with Live(line, console=Console(stderr=True), transient=True, refresh_per_second=REFRESHES):
        yield line
