"""Tables, lines and JSON on standard output; colour codes, and rows folded to a width, only on a terminal."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

UNFOLDED = 100_000  # characters; wider than any row


@dataclass(frozen=True)
class Column:
    """A column of a table. One that ``wraps`` gives way where the terminal is narrow, the others keep their width."""

    title: str
    wraps: bool = False
    right: bool = False


def print_table(columns: Iterable[Column], rows: Iterable[Iterable[str]]) -> None:
    """Print rows below a header, with no other lines around them."""
    from rich.box import SIMPLE_HEAD
    from rich.table import Table
    from rich.text import Text

    table = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for column in columns:
        justify = "right" if column.right else "left"
        table.add_column(column.title, justify=justify, no_wrap=not column.wraps, overflow="fold", vertical="top")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    _print(table)


def print_line(text: str = "") -> None:
    """Print a line as it is, however long."""
    _print(text, soft_wrap=True)


def print_json(value: Any) -> None:
    """Print one JSON object, in ASCII, so that it can be read under any encoding."""
    print(json.dumps(value, indent=1, allow_nan=False))


def _print(content: Any, soft_wrap: bool = False) -> None:
    """Print as the terminal can show it. Raises OSError where that fails, which the library alone would not tell."""
    from rich.console import Console

    console = Console(markup=False, highlight=False, emoji=False)
    if not console.is_terminal and "COLUMNS" not in os.environ:
        console.width = UNFOLDED  # what a file or another program reads has a row a line
    with console.capture() as capture:
        console.print(content, soft_wrap=soft_wrap)
    print(capture.get(), end="")
