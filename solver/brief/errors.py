"""What is wrong with a brief: one line each, all of a brief's errors together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from solver.brief.places import KeyPath


@dataclass(frozen=True)
class BriefError:
    """One thing that is wrong, where it stands (from 1; None where the file has no such place), and what would help.

    ``key_path`` leads to the value that is meant, also where the file does not have it; empty where none is.
    """

    path: str
    line: int | None
    column: int | None
    wrong: str
    right: str
    key_path: KeyPath = ()

    def __str__(self) -> str:
        """``file:line:column: what is wrong; what would be right``; no place where there is none."""
        place = self.path if self.line is None else f"{self.path}:{self.line}:{self.column}"
        return _one_line(f"{place}: {self.wrong}; {self.right}")


class BriefErrors(Exception):
    """All errors of one brief, in the order in which they stand in the file."""

    def __init__(self, errors: Iterable[BriefError]) -> None:
        self.errors: tuple[BriefError, ...] = tuple(
            sorted(errors, key=lambda error: (error.line or 0, error.column or 0, error.wrong))
        )
        super().__init__(self.errors)

    def __str__(self) -> str:
        """One line an error."""
        return "\n".join(str(error) for error in self.errors)


def _one_line(text: str) -> str:
    """The text with whatever a terminal would not print as a character of one line shown as an escape."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode("ascii") for char in text)
