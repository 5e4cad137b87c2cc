"""Why a reference cannot be studied, in one line."""

from __future__ import annotations

from pathlib import Path


class StudyError(Exception):
    """A reference that cannot be studied: ``file:line:column: what is wrong; what would be right``.

    ``line`` and ``column`` count from 1 and are None where the file has no such place.
    """

    def __init__(self, path: Path, wrong: str, right: str, line: int | None = None, column: int | None = None) -> None:
        self.path, self.line, self.column, self.wrong, self.right = path, line, column, wrong, right
        place = f"{path}" if line is None else f"{path}:{line}:{column}"
        super().__init__(_one_line(f"{place}: {wrong}; {right}"))


class Unreadable(Exception):
    """What is wrong with the bytes of a file, and what would be right; the reader adds the file's name."""

    def __init__(self, wrong: str, right: str, line: int | None = None, column: int | None = None) -> None:
        self.wrong, self.right, self.line, self.column = wrong, right, line, column
        super().__init__(f"{wrong}; {right}")


def _one_line(text: str) -> str:
    """The text with whatever a terminal would not print as a character of one line shown as an escape."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode("ascii") for char in text)
