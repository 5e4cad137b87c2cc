"""Take folders: gathering arrangements as they are found, numbering, and what a crash leaves.

What is found gathers in a hidden folder ``.unfinished-…`` beside the takes, one file for each arrangement. A lock
file beside it is held by the process that gathers, and the system frees it when that process dies, however it dies.
Finishing writes all files of the take into the hidden folder, ``take.json`` last, and renames the folder once. A
second lock, ``.takes.lock``, is held only while a folder begins or is renamed, so that two processes never meet.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from solver.arrangement import Ranked
from solver.takes.previews import PREVIEW, Previews
from solver.takes.record import RECORD, TakeError, TakeHeader, header_data, layout, parsed, ranked_data, take_text

if TYPE_CHECKING:
    from filelock import BaseFileLock

    from solver.brief.plan import Plan
    from solver.takes.files import Progress

UNFINISHED = ".unfinished-"
GATE = ".takes.lock"
HEADER = "header.json"
CHOSEN = "chosen.json"
FOUND = "found-"
SKETCH = "sketch-"
_NUMBERED = re.compile(r"take-(\d{3,})")


def open_take(folder: Path, header: TakeHeader, plan: Plan | None = None) -> OpenTake:
    """Begin a take in the folder of a brief's takes (``out/NAME``), which is made where it is missing.

    ``plan`` is the brief resolved; without it the header's brief is read again when the take is finished. Raises
    TakeError where the folder cannot be written.
    """
    hidden = folder / f"{UNFINISHED}{secrets.token_hex(6)}"
    lock = _lock(_lock_path(hidden))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _gate(folder):
            lock.acquire(blocking=False)
            hidden.mkdir()
        _write(hidden / HEADER, layout(header_data(header)))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise TakeError(folder, f"no take can be written here ({reason}); name a folder of your own") from error
    return OpenTake(hidden, lock, header, plan)


class OpenTake:
    """A take that is being gathered. Leaving it as a context without ``finish`` keeps what was added for later."""

    def __init__(self, hidden: Path, lock: BaseFileLock, header: TakeHeader, plan: Plan | None = None) -> None:
        self._hidden, self._lock, self._header, self._plan = hidden, lock, header, plan
        self._previews = Previews(hidden, plan) if plan else None
        self._found = 0
        self._open = True

    def add(self, ranked: Ranked) -> None:
        """Keep a finished arrangement; it is on disk when this returns."""
        self._found += 1
        _write(self._hidden / f"{FOUND}{self._found:06}.json", layout(ranked_data(ranked)))
        if self._previews is not None:
            self._previews.add(ranked.arrangement)

    def render_ahead(self) -> None:
        """Start to render previews of what was and will be added, where a core is free; from any thread."""
        if self._previews is not None:
            self._previews.begin()

    def sketch(self, number: int, ranked: Ranked) -> None:
        """Keep what the ``number``-th rhythm has so far, in place of its sketch before; for a crash alone."""
        _write(self._hidden / f"{SKETCH}{number:06}.json", layout(ranked_data(ranked)))

    def finish(self, arrangements: list[Ranked], on_progress: Progress | None = None, compared: str = "") -> Path:
        """Write the take with these arrangements, best first, under the next free number; returns its folder.

        ``on_progress`` is told how many arrangements have their files, and of how many; ``compared`` as in the header.
        Raises ValueError without
        arrangements and TakeError where the files cannot be written.
        """
        if not arrangements:
            raise ValueError("a take needs at least one arrangement")
        if self._previews is not None:
            self._previews.end()
        from solver.takes.files import write_files

        self._header = replace(self._header, compared=compared)
        try:
            self._found = len(arrangements)
            _write(self._hidden / CHOSEN, layout({"arrangements": [ranked_data(ranked) for ranked in arrangements]}))
            plan = self._plan or _plan_of(self._header)
            previews = self._previews or Previews(self._hidden, plan)
            sound = write_files(self._hidden, plan, self._header, arrangements, previews, on_progress)
            _write(self._hidden / RECORD, take_text(self._header, sound, arrangements))
            final = _rename(self._hidden)
        except OSError as error:
            raise TakeError(self._hidden.parent, f"the take cannot be written ({error.strerror or error})") from error
        self._open = False
        _let_go(self._hidden, self._lock)
        return final

    def close(self) -> None:
        """Let go of an unfinished take: one without arrangements vanishes, another waits to be completed."""
        if not self._open:
            return
        self._open = False
        if self._previews is not None:
            self._previews.end()
        if not self._found:
            shutil.rmtree(self._hidden, ignore_errors=True)
        _let_go(self._hidden, self._lock)

    def __enter__(self) -> OpenTake:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def complete_unfinished(folder: Path, on_remark: Callable[[str], None] | None = None) -> list[Path]:
    """Make takes of what crashed processes left in a folder of takes; returns the new takes' folders.

    Those that a live process holds are left alone. One that cannot be completed stays as it is, and ``on_remark`` is
    told why in one line.
    """
    done: list[Path] = []
    _sweep(folder)
    for hidden in sorted(path for path in folder.glob(f"{UNFINISHED}*") if path.is_dir()):
        try:
            lock = _taken_over(hidden)
            if lock is None:
                continue
            try:
                final = _completed(hidden)
            finally:
                _let_go(hidden, lock)
        except Exception as problem:  # of any kind: what a crash left must never stop the command that comes next
            if on_remark:
                on_remark(f"{hidden}: cannot be completed ({problem})".replace("\n", " "))
            continue
        done += [final] if final else []
    return done


def list_takes(folder: Path) -> list[Path]:
    """The finished takes in a folder of takes, by number."""
    numbered = [(int(match[1]), path) for path in folder.glob("take-*") if (match := _NUMBERED.fullmatch(path.name))]
    return [path for _, path in sorted(numbered)]


def _completed(hidden: Path) -> Path | None:
    """Finish a folder that was left, its lock held; None where nothing had been found yet."""
    from solver.study.nearest import with_nearest
    from solver.study.references import clear_of, takes_beside
    from solver.takes.files import write_files
    from solver.takes.validation import FoundRow, HeaderRow, RankedRow

    if (hidden / RECORD).exists():  # only the rename was missing
        return _rename(hidden)
    if (hidden / CHOSEN).exists():
        found = [row.ranked() for row in parsed(hidden / CHOSEN, FoundRow).arrangements]
    else:
        # Sketches count only where nothing was finished: they are not the best of their rhythms, nor surely apart.
        paths = sorted(hidden.glob(f"{FOUND}*.json")) or sorted(hidden.glob(f"{SKETCH}*.json"))
        rows = [parsed(path, RankedRow) for path in paths]
        found = sorted((row.ranked() for row in rows), key=lambda ranked: -ranked.total)
    if not found:
        shutil.rmtree(hidden)
        return None
    header: TakeHeader = parsed(hidden / HEADER, HeaderRow).header()
    plan = _plan_of(header)
    clear = clear_of(plan, takes_beside(hidden.parent, header.avoided_takes)[0])
    found = [one if one.nearest else with_nearest(clear, one) for one in found]
    sound = write_files(hidden, plan, header, found, Previews(hidden, plan))
    _write(hidden / RECORD, take_text(header, sound, found))
    return _rename(hidden)


def _taken_over(hidden: Path) -> BaseFileLock | None:
    """The lock of a folder that no live process holds; None where one does, or where it was finished meanwhile."""
    from filelock import Timeout

    lock = _lock(_lock_path(hidden))
    with _gate(hidden.parent):
        if not hidden.is_dir():
            return None
        try:
            lock.acquire(blocking=False)
        except Timeout:
            return None
    return lock


def _sweep(folder: Path) -> None:
    """Remove lock files whose folder was finished just before its process died."""
    locks = [path for path in folder.glob(f"{UNFINISHED}*.lock") if not path.with_suffix("").is_dir()]
    if locks:
        with _gate(folder):
            for path in locks:
                if not path.with_suffix("").is_dir():
                    path.unlink(missing_ok=True)


def _rename(hidden: Path) -> Path:
    """Take out of a finished folder what was only gathered, and give it the next free number."""
    for path in [
        hidden / HEADER,
        hidden / CHOSEN,
        *hidden.glob(f"{FOUND}*"),
        *hidden.glob(f"{SKETCH}*"),
        *hidden.glob(f"{PREVIEW}*"),
        *hidden.glob("*.part"),
    ]:
        path.unlink(missing_ok=True)
    with _gate(hidden.parent):
        return hidden.rename(hidden.parent / f"take-{_next_number(hidden.parent):03}")


def _let_go(hidden: Path, lock: BaseFileLock) -> None:
    """Free a folder's lock; its file goes with it, unless another process has taken the folder over meanwhile."""
    with _gate(hidden.parent):
        lock.release()
        if not hidden.is_dir():
            _lock_path(hidden).unlink(missing_ok=True)


def _next_number(folder: Path) -> int:
    """One more than the highest number taken; gaps stay gaps."""
    takes = list_takes(folder)
    return int(takes[-1].name.removeprefix("take-")) + 1 if takes else 1


@contextmanager
def _gate(folder: Path) -> Iterator[None]:
    """Only one process at a time begins, renames or takes over a folder here; held for moments only."""
    with _lock(folder / GATE):
        yield


def _lock(path: Path) -> BaseFileLock:
    from filelock import FileLock

    return FileLock(path, thread_local=False)


def _lock_path(hidden: Path) -> Path:
    return hidden.parent / f"{hidden.name}.lock"


def _write(path: Path, text: str) -> None:
    """Write a file whole or not at all."""
    part = path.with_name(path.name + ".part")
    with part.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)


def _plan_of(header: TakeHeader) -> Plan:
    from solver.brief.planning import plan_from_text

    return plan_from_text(header.brief_text, header.brief_name, header.references, header.lines)
