"""A workspace: a folder with briefs, the tables that a producer may edit, and room for takes."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

BRIEFS, SHARED, OUT = "briefs", "shared", "out"
KEPT_OUT = "*\n!.gitignore\n"  # what git is told about takes: they can be made again from their briefs


class WorkspaceError(Exception):
    """A workspace that cannot be laid out: ``path: what is wrong; what would be right``."""


def start_workspace(folder: Path) -> None:
    """Lay out a workspace in a folder, which is made where it is missing. All of it is there afterwards, or nothing.

    Raises WorkspaceError where a file would be overwritten or the folder cannot be written.
    """
    for name in (BRIEFS, SHARED, OUT):
        if (folder / name).exists() or (folder / name).is_symlink():
            raise WorkspaceError(f"{folder / name}: is there already; name a folder without one, such as a new one")
    try:
        missing = _first_missing(folder)
        folder.mkdir(parents=True, exist_ok=True)
        try:
            _lay_out(folder)
        except OSError:
            if missing:
                shutil.rmtree(missing, ignore_errors=True)
            raise
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise WorkspaceError(f"{folder}: cannot be written ({reason}); name a folder of your own") from error


def shipped(name: str) -> Path:
    """A folder that came with the program: inside the package where it is installed, else of the repository."""
    package = Path(__file__).resolve().parent
    return next((parent / name for parent in (package, package.parent) if (parent / name).is_dir()), package / name)


def _lay_out(folder: Path) -> None:
    with tempfile.TemporaryDirectory(prefix=".start-", dir=folder) as made:
        for name in (BRIEFS, SHARED):
            (Path(made) / name).mkdir()
            for file in sorted(shipped(name).glob("*.toml")):
                # The bytes alone: an installed file may be read-only, a workspace is to be edited.
                (Path(made) / name / file.name).write_bytes(file.read_bytes())
        (Path(made) / OUT).mkdir()
        (Path(made) / OUT / ".gitignore").write_text(KEPT_OUT, encoding="utf-8", newline="\n")
        placed: list[Path] = []
        try:
            for name in (BRIEFS, SHARED, OUT):
                placed.append((Path(made) / name).rename(folder / name))
        except OSError:
            for path in placed:
                shutil.rmtree(path, ignore_errors=True)
            raise


def _first_missing(folder: Path) -> Path | None:
    """The highest folder above that is not there yet; None where the folder is."""
    missing = [path for path in (folder, *folder.parents) if not path.exists()]
    return missing[-1] if missing else None
