"""Ctrl-C: the first asks a command to finish with what it has, the second ends it at once."""

from __future__ import annotations

import os
import signal
import sys
import threading
from types import FrameType, TracebackType
from typing import Any

from solver.commands.ending import INTERRUPTED

SHOW_CURSOR = b"\x1b[?25h\n"  # ECMA-48 private mode of the DEC terminals; a progress line hides the cursor


class Interrupt:
    """Listens for Ctrl-C while it is entered; ``asked`` says whether it came.

    What a take has gathered is on disk at all times, so that the second Ctrl-C may end the process where it stands:
    the next command completes the take. ``kept`` says so to the user; a command that makes no take has none.
    """

    def __init__(self, kept: str = "") -> None:
        self._kept = f": {kept}" if kept else ""
        self.asked = False
        self._before: Any = None

    def __call__(self) -> bool:
        """Whether to stop."""
        return self.asked

    def __enter__(self) -> Interrupt:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._listen)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def _listen(self, number: int, frame: FrameType | None) -> None:
        if self.asked:
            try:
                if sys.stderr.isatty():
                    os.write(sys.stderr.fileno(), SHOW_CURSOR)
                os.write(sys.stderr.fileno(), f"interrupted{self._kept}\n".encode())
            finally:
                os._exit(INTERRUPTED)
        self.asked = True
