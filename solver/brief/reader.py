"""Reading a brief's file. Whatever the file holds, the outcome is a brief or errors of one line each."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

from solver.brief.errors import BriefError, BriefErrors

if TYPE_CHECKING:
    from solver.brief.source import Source

LARGEST = 1_000_000  # bytes; a brief is a page
EXAMPLE = "give the path of a brief such as briefs/ferry-lights.toml"


def read_brief(path: Path | str) -> Source:
    """The brief in a file, checked as far as that is possible without solving.

    Raises BriefErrors with everything that is wrong.
    """
    from solver.brief.planning import checked

    return checked(read_text(Path(path)), Path(path))


def read_text(path: Path) -> str:
    """The text of a brief's file. Raises BriefErrors where it is no readable text of up to a megabyte."""
    try:
        if path.is_dir():
            raise _error(path, "this is a folder", EXAMPLE)
        if not path.exists():
            raise _error(path, "there is no such file", _near(path))
        if not path.is_file():
            raise _error(path, "this is not a file", EXAMPLE)
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except ValueError:  # a path with a character that no path can hold
        raise _error(path, "there is no such file", EXAMPLE) from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise _error(path, f"the file cannot be read ({reason})", "check its permissions and its path") from None
    return _decoded(data, path)


def _decoded(data: bytes, path: Path) -> str:
    if len(data) > LARGEST:
        raise _error(path, "the file is larger than 1 MB", "a brief is a page of text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig").split("\n")
        where = (len(before), len(before[-1]) + 1)
        raise _error(path, "this is not text in UTF-8", "save the brief as a text file in UTF-8", where) from None
    if "\0" in text:
        raise _error(path, "this is not text", "a brief is a text file in TOML")
    if not text.strip():
        raise _error(path, "the file is empty", "a brief needs key, bars, chords and parts")
    return text


def _near(path: Path) -> str:
    """Briefs of the same folder with a name like the one asked for."""
    folder = path.parent
    names = sorted(entry.stem for entry in folder.glob("*.toml")) if folder.is_dir() else []
    near = difflib.get_close_matches(path.name.removesuffix(".toml"), names, n=1)
    return f"did you mean {folder / near[0]}.toml?" if near else EXAMPLE


def _error(path: Path, wrong: str, right: str, where: tuple[int, int] | None = None) -> BriefErrors:
    line, column = where or (None, None)
    return BriefErrors([BriefError(str(path), line, column, wrong, right)])
