"""What every reader of a word of music owes: it reads, or it fails with one clear line."""

from __future__ import annotations

from collections.abc import Callable

from solver.music.faults import Fault


def reads_or_says_why(read: Callable[[str], object], text: str, longest: int) -> bool:
    """Whether the reader reads the text, or fails with what is wrong and what would be right on one line."""
    try:
        read(text)
    except Fault as fault:
        line = str(fault)
        return line == f"{fault.wrong}; {fault.right}" and line.isprintable() and len(line) <= longest
    return True
