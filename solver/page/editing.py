"""Changing keys in a brief's text without touching the rest of it: comments, order and spacing stay."""

from __future__ import annotations

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
        document = tomlkit.parse(text)
    except (ValueError, TOMLKitError, RecursionError):
        raise Refusal(422, "the text is not valid TOML; put it right in the text first") from None
    try:
        for change in changes:
            _apply(wanted, change)
            _apply(document, change)
        made = tomlkit.dumps(document)
        if tomllib.loads(made) != wanted:
            raise Refusal(422, BY_HAND)
    except (TOMLKitError, ValueError, TypeError, KeyError, AttributeError):
        raise Refusal(422, BY_HAND) from None
    return made


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
    return Change(tuple(path), item.get("value"))
