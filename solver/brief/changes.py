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

    Raises BriefErrors: a line for each change that is none, and for each of the others with which the brief cannot
    be.
    """
    given = tuple(changes)
    if not given:
        return text
    pairs, none = _all_pairs(given)
    given = tuple(change for change in given if change in pairs)

    def after(some: Iterable[str]) -> str:
        new = text
        for change in some:
            new = _applied(new, pairs[change], change)
        return new

    def wrong(some: Iterable[str]) -> tuple[BriefError, ...]:
        try:
            plan_from_text(after(some), name, avoided, lines)
        except BriefErrors as errors:
            return errors.errors
        return ()

    errors = wrong(given)
    if errors or none:
        without = {one: wrong([other for other in given if other != one]) for one in given}
        told: dict[str, BriefError] = {}
        for error in errors:
            told.setdefault(_to_blame(error, without), error)
        raise BriefErrors([*none, *(_error(change, error.wrong, error.right) for change, error in told.items())])
    return after(given)


def _to_blame(error: BriefError, without: Mapping[str, tuple[BriefError, ...]]) -> str:
    """The change to which an error is laid, given what is wrong without each; all of them where it is no single one.

    Changes may need each other, so the one without which nothing is wrong comes before one without which this is not.
    """
    needed = [change for change, others in without.items() if not others]
    causes = [change for change, others in without.items() if error.wrong not in {other.wrong for other in others}]
    return next(iter(needed or causes), "; ".join(without))


def _all_pairs(
    changes: Iterable[str],
) -> tuple[dict[str, list[tuple[tuple[str, ...], Any]]], tuple[BriefError, ...]]:
    """Key paths and values of each change, and an error for each that is none."""
    pairs: dict[str, list[tuple[tuple[str, ...], Any]]] = {}
    none: dict[str, BriefError] = {}
    for change in changes:
        try:
            pairs[change] = _pairs(change)
        except BriefErrors as errors:
            none[change] = errors.errors[0]
    return pairs, tuple(none.values())


def _pairs(change: str) -> list[tuple[tuple[str, ...], Any]]:
    """Key paths and values of a change."""
    if "\n" in change.strip():
        raise BriefErrors([_error(change, "a change is one line", EXAMPLE)])
    try:
        values = parse_toml(change, PLACE)
    except BriefErrors as errors:
        first = errors.errors[0]
        raise BriefErrors([_error(change, first.wrong, EXAMPLE)]) from None
    found = list(_leaves(values, ()))
    if not found:
        raise BriefErrors([_error(change, "this changes nothing", EXAMPLE)])
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
            raise BriefErrors([_error(change, f"{'.'.join(keys[:-1])} is no table in this brief", EXAMPLE)]) from None
    return tomlkit.dumps(document)


def _error(change: str, wrong: str, right: str) -> BriefError:
    return BriefError(f"{PLACE} {' '.join(change.split())}", None, None, wrong, right)
