"""Putting many files in their place at once: made in a hidden folder, which one rename makes visible.

A lock file beside the hidden folder is held by the process that fills it. What a process left that died, however it
died, is cleared away by the next one that writes in the same place.
"""

from __future__ import annotations

import errno
import os
import secrets
import shutil
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from solver.export.names import free_name

HIDDEN = ".unfinished-export-"
OLDEST = (1980, 1, 1, 0, 0, 0)  # the date of every file in a ZIP: equal contents give equal bytes


@dataclass(frozen=True)
class Placed:
    """The folder or ZIP file that was made, and its files in order, relative to it, with /."""

    path: Path
    files: tuple[str, ...]


def place(folder: Path, name: str, files: Iterable[tuple[str, bytes]], *, zipped: bool = False) -> Placed:
    """Write files (path with /, contents) into a new folder, or ZIP file, of this name in ``folder``.

    Where the name is taken, a number is added. Raises OSError where it cannot be written; then, as after any other
    exception, nothing is left.
    """
    from filelock import FileLock

    check_place(folder)
    folder.mkdir(parents=True, exist_ok=True)
    _clear_away(folder)
    hidden = folder / f"{HIDDEN}{secrets.token_hex(6)}"
    with FileLock(_lock_path(hidden)):
        try:
            hidden.mkdir()
            made = hidden / name
            written = _write_zip(made, name, files) if zipped else _write_folder(made, files)
            path = _move(made, folder, name, ".zip" if zipped else "")
        finally:
            shutil.rmtree(hidden, ignore_errors=True)
            _lock_path(hidden).unlink(missing_ok=True)
    return Placed(path, written)


def check_place(folder: Path) -> None:
    """Whether files can be put into a folder, which need not be there yet. Makes nothing.

    Raises OSError, which names the folder that is in the way, and no hidden file in it.
    """
    there = next((path for path in (folder, *folder.parents) if path.exists()), folder)
    if not there.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(there))
    if not os.access(there, os.W_OK | os.X_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(there))


def _write_folder(made: Path, files: Iterable[tuple[str, bytes]]) -> tuple[str, ...]:
    made.mkdir()
    written = []
    for relative, content in files:
        path = made.joinpath(*relative.split("/"))
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(content)
        written.append(relative)
    return tuple(written)


def _write_zip(made: Path, name: str, files: Iterable[tuple[str, bytes]]) -> tuple[str, ...]:
    """A ZIP file that unpacks to one folder of the name."""
    written = []
    with zipfile.ZipFile(made, "x", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for relative, content in files:
            entry = zipfile.ZipInfo(f"{name}/{relative}", OLDEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content)
            written.append(relative)
    return tuple(written)


def _move(made: Path, folder: Path, name: str, ending: str) -> Path:
    """Give what was made its name, or the next one that is free."""
    names = (path.name for path in folder.iterdir())
    taken = {other[: len(other) - len(ending)] for other in names if other.casefold().endswith(ending)}
    path = folder / f"{free_name(name, taken)}{ending}"
    return made.rename(path)


def _clear_away(folder: Path) -> None:
    """Remove hidden folders whose process is gone."""
    from filelock import FileLock, Timeout

    for lock_path in folder.glob(f"{HIDDEN}*.lock"):
        hidden = lock_path.with_suffix("")
        try:
            with FileLock(lock_path, timeout=0):
                shutil.rmtree(hidden, ignore_errors=True)
                lock_path.unlink(missing_ok=True)
        except Timeout:  # a live process is writing there
            continue


def _lock_path(hidden: Path) -> Path:
    return hidden.parent / f"{hidden.name}.lock"
