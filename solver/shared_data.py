"""Where the tables that a producer may edit are: the workspace's own, else those that came with the program."""

from __future__ import annotations

from pathlib import Path


def shared_file(name: str, workspace: Path | None = None) -> Path:
    """Path of a file of the folder ``shared``: the workspace's own wins over the shipped one.

    ``workspace`` is the current folder where it is not given. Raises FileNotFoundError where no such file exists.
    """
    package = Path(__file__).resolve().parent
    folders = (workspace or Path.cwd(), package, package.parent)
    for folder in folders:
        path = folder / "shared" / name
        if path.is_file():
            return path
    raise FileNotFoundError(f"shared/{name}: there is no such file in the workspace nor with the program")
