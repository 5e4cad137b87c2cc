"""Lines of TOML, each with a remark."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

WIDEST = 34  # characters of a value before its remark is no longer aligned with the others
_BARE = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True)
class Line:
    """A key with its value in TOML, and why it is so."""

    key: str
    value: str
    reason: str


def rendered(lines: list[Line]) -> list[str]:
    """The lines as text, equal signs and remarks in columns."""
    width = max(len(line.key) for line in lines)
    plain = [f"{line.key:<{width}} = {line.value}" for line in lines]
    column = max((len(text) for text in plain if len(text) <= width + 3 + WIDEST), default=0)
    return [f"{text:<{column}}  # {shown(line.reason)}" for text, line in zip(plain, lines, strict=True)]


def text_value(text: str) -> str:
    """A text as a TOML string on one line."""
    return json.dumps(shown(text), ensure_ascii=False)


def bare_key(name: str) -> str:
    """A key, in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else text_value(name)


def shown(text: str) -> str:
    """The text without what cannot be printed on one line."""
    return "".join(char if char.isprintable() else " " for char in text)
