"""A value of a TOML file as a message repeats it."""

from __future__ import annotations

LONGEST_SHOWN = 40  # characters of a value that a message repeats

TOO_LARGE = 10**30


def shown(value: object) -> str:
    """A value of a TOML file as a message repeats it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'the text "{short(value)}"'
    if isinstance(value, int) and abs(value) >= TOO_LARGE:  # Python will not write numbers of thousands of digits
        return "a number far too large"
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return "a table" if isinstance(value, dict) else "a date or a time"


def short(text: str) -> str:
    """A text, cut where it is long."""
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
