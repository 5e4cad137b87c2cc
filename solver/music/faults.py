"""Errors about musical words and tables: each says what is wrong and what would be right, in one line."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from pathlib import Path

LONGEST_QUOTE = 60  # characters of a wrong word that an error repeats


def quoted(text: object) -> str:
    """A wrong word as an error repeats it: in quotes, on one line, not too long."""
    shown = _one_line(str(text)[: LONGEST_QUOTE + 1])
    return f'"{shown}"' if len(shown) <= LONGEST_QUOTE else f'"{shown[:LONGEST_QUOTE]}…"'


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a mistyped one most looks like; None where none comes near."""
    near = difflib.get_close_matches(word[: LONGEST_QUOTE + 1], list(known), n=1)
    return near[0] if near else None


def _one_line(text: str) -> str:
    return "".join(char if char.isprintable() else " " for char in text)


class Fault(ValueError):
    """A word of music that cannot be read; ``str`` is ``what is wrong; what would be right``."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = _one_line(wrong)
        self.right = _one_line(right)
        super().__init__(f"{self.wrong}; {self.right}")


class TableFault(Fault):
    """A fault in a table that a producer may edit; ``str`` is ``file: key: what is wrong; what would be right``."""

    def __init__(self, file: Path, key: str, wrong: str, right: str) -> None:
        super().__init__(wrong, right)
        self.file = file
        self.key = _one_line(key)

    def __str__(self) -> str:
        place = f"{self.file}: {self.key}" if self.key else f"{self.file}"
        return f"{place}: {self.wrong}; {self.right}"
