"""Changing single keys of a brief's text, its remarks kept: ``parts.low.range = "E2..B3"``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from solver.avoided import Avoided
from solver.brief.errors import BriefError, BriefErrors
from solver.brief.planning import plan_from_text
from solver.brief.toml_text import parse_toml
from solver.held import Held

PLACE = Path("--change")  # stands for a file's name in what is said of a change
EXAMPLE = """write a key and its value, as in --change 'parts.low.range = "E2..B3"'"""


def changed(
    text: str, changes: Iterable[str], name: str, avoided: Sequence[Avoided] = (), lines: Sequence[Held] = ()
) -> str:
    """The brief's text after the changes, each ``key = value`` in TOML; for the rest see ``plan_from_text``.

    Raises BriefErrors: one line that names the change where it is none, or where the brief cannot be with it.
    """
    given = tuple(changes)
    if not given:
        return text
    pairs = {change: _pairs(change) for change in given}

    def after(some: Iterable[str]) -> str:
        new = text
        for change in some:
            new = _applied(new, pairs[change], change)
        return new

    def wrong(some: Iterable[str]) -> BriefError | None:
        try:
            plan_from_text(after(some), name, avoided, lines)
        except BriefErrors as errors:
            return errors.errors[0]
        return None

    error = wrong(given)
    if error is not None:
        # Changes may need each other; what is wrong is laid to the one without which nothing is.
        to_blame = [one for one in given if wrong([other for other in given if other != one]) is None]
        raise _error(to_blame[0] if to_blame else "; ".join(given), error.wrong, error.right) from None
    return after(given)


def _pairs(change: str) -> list[tuple[tuple[str, ...], Any]]:
    """Key paths and values of a change."""
    if "\n" in change.strip():
        raise _error(change, "a change is one line", EXAMPLE)
    try:
        values = parse_toml(change, PLACE)
    except BriefErrors as errors:
        first = errors.errors[0]
        raise _error(change, first.wrong, EXAMPLE) from None
    found = list(_leaves(values, ()))
    if not found:
        raise _error(change, "this changes nothing", EXAMPLE)
    return found


def _leaves(values: Mapping[str, Any], above: tuple[str, ...]) -> Iterable[tuple[tuple[str, ...], Any]]:
    for key, value in values.items():
        if isinstance(value, dict) and value:
            yield from _leaves(value, (*above, key))
        else:
            yield (*above, key), value


def _applied(text: str, pairs: Iterable[tuple[tuple[str, ...], Any]], change: str) -> str:
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    document = tomlkit.parse(text)
    for keys, value in pairs:
        table: Any = document
        try:
            for key in keys[:-1]:
                if key not in table:
                    table[key] = tomlkit.table()
                table = table[key]
            table[keys[-1]] = value
        except (TOMLKitError, TypeError, AttributeError, ValueError):
            raise _error(change, f"{'.'.join(keys[:-1])} is no table in this brief", EXAMPLE) from None
    return tomlkit.dumps(document)


def _error(change: str, wrong: str, right: str) -> BriefErrors:
    shown = " ".join(change.split())
    return BriefErrors([BriefError(f"{PLACE} {shown}", None, None, wrong, right)])
