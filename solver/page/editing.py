"""Changing keys in a brief's text without touching the rest of it: comments, order and spacing stay."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass
from typing import Any

from solver.page.refusal import Refusal

DEEPEST = 3  # keys of a path: parts, a part's name, its key
BY_HAND = "this cannot be changed in the form; change it in the text"


@dataclass(frozen=True)
class Change:
    """A new value for the key at a path; None takes the key out."""

    path: tuple[str, ...]
    value: Any


def changed(text: str, changes: Iterable[Change]) -> str:
    """The text with the changes made. Raises Refusal where the text is not TOML or a change cannot be made."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        wanted = tomllib.loads(text)
        for change in changes:
            _apply(wanted, change)
            made = _without_table(text, change.path) if change.value is None else None
            if made is None or tomllib.loads(made) != wanted:
                document = tomlkit.parse(text)
                _apply(document, change)
                made = tomlkit.dumps(document)
            text = made
        if tomllib.loads(text) != wanted:
            raise Refusal(422, BY_HAND)
    except (TOMLKitError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise Refusal(422, BY_HAND) from None
    return text


def _without_table(text: str, path: tuple[str, ...]) -> str | None:
    """The text without the lines of a table; remarks right above the next header belong to that one and stay."""
    lines = text.splitlines(keepends=True)
    header = re.compile(
        r"\s*\[\s*" + r"\s*\.\s*".join(rf"(?:{re.escape(key)}|[\"']{re.escape(key)}[\"'])" for key in path)
    )
    start = next((at for at, line in enumerate(lines) if header.match(line)), None)
    if start is None:
        return None
    end = next((at for at in range(start + 1, len(lines)) if lines[at].lstrip().startswith("[")), len(lines))
    while (
        end < len(lines) and end > start + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#"))
    ):
        end -= 1
    return "".join(lines[:start] + lines[end:]) if end > start else None


def _apply(table: MutableMapping[str, Any], change: Change) -> None:
    *tables, key = change.path
    for name in tables:
        if name not in table:
            if change.value is None:
                return
            table[name] = {}
        table = table[name]
        if not isinstance(table, MutableMapping):
            raise Refusal(422, BY_HAND)
    if change.value is None:
        table.pop(key, None)
    else:
        table[key] = change.value


def changes_from(data: Any) -> list[Change]:
    """Changes as the page sends them: a list of objects with ``path`` and ``value``. Raises Refusal."""
    if not isinstance(data, list):
        raise Refusal(400, "changes are a list")
    return [_change(item) for item in data]


def _change(item: Any) -> Change:
    path = item.get("path") if isinstance(item, dict) else None
    if not isinstance(path, list) or not 1 <= len(path) <= DEEPEST or not all(isinstance(key, str) for key in path):
        raise Refusal(400, "a change needs a path of one to three keys")
    return Change(tuple(path), _value(item["toml"]) if "toml" in item else item.get("value"))


def _value(text: Any) -> Any:
    """A value written as TOML; what is none is taken for a text, about which the brief's reader then complains."""
    if not isinstance(text, str):
        raise Refusal(400, "a value written as TOML is a text")
    try:
        found = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return found["value"] if len(found) == 1 else text
