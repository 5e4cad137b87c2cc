"""Errors about musical words and tables: each says what is wrong and what would be right, in one line."""

from __future__ import annotations

from pathlib import Path


class Fault(ValueError):
    """A word of music that cannot be read; ``str`` is ``what is wrong; what would be right``."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(f"{wrong}; {right}")
        self.wrong = wrong
        self.right = right


class TableFault(Fault):
    """A fault in a table that a producer may edit; ``str`` is ``file: key: what is wrong; what would be right``."""

    def __init__(self, file: Path, key: str, wrong: str, right: str) -> None:
        super().__init__(wrong, right)
        self.file = file
        self.key = key

    def __str__(self) -> str:
        place = f"{self.file}: {self.key}" if self.key else f"{self.file}"
        return f"{place}: {self.wrong}; {self.right}"
