"""The schema's errors in a musician's words: what is wrong, and what would be right."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any, get_args

from solver.brief.findings import Finding
from solver.brief.places import KeyPath
from solver.brief.shown import short, shown

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError
    from pydantic.fields import FieldInfo
    from pydantic_core import ErrorDetails


def findings_of(error: ValidationError, data: dict[str, Any]) -> list[Finding]:
    """A finding for each error of the schema; ``data`` is the whole brief as parsed."""
    found = (_finding(detail, data) for detail in error.errors(include_url=False))
    return list(dict.fromkeys(found))  # an empty pair misses both its entries


def _finding(detail: ErrorDetails, data: dict[str, Any]) -> Finding:
    from solver.brief.schema import keys_of

    path = _key_path(detail["loc"])
    if len(path) == 2 and path[0] == "parts":
        wrong = f"part {short(str(path[1]))} is {shown(detail['input'])}"
        return Finding(path, wrong, 'write a table with a role, such as [parts.lead] and below it role = "lead"')
    model, name = _owner(path)
    kind = detail["type"]
    if kind == "extra_forbidden":
        return Finding(path, f'unknown key "{short(name)}"', _known_key(path, data), at_key=True)
    field = keys_of(model)[name]
    if kind == "missing" and isinstance(path[-1], int):  # an entry of a list that is too short
        path = path[:-1]
    elif kind == "missing":
        example = (field.examples or [""])[0]
        return Finding(
            path, f'the key "{name}" is missing', f"add {example if name == 'parts' else f'{name} = {example}'}"
        )
    if kind == "unreadable":
        context = detail.get("ctx", {})
        return Finding(path, context["wrong"], context["right"])
    right = _right(field, detail["input"])
    if path[0] == "prefer" and len(path) > 1:
        right = f"write a factor from 0 to 5, such as {{ {short(str(path[1]))} = 2 }}"
    return Finding(path, f"{_named(path)} is {shown(detail['input'])}", right)


def _key_path(loc: KeyPath) -> KeyPath:
    """The error's place without the tags that pydantic adds for the forms a value may take."""
    if loc[:1] == ("feel",):
        return (loc[0], *loc[2:])
    size = 3 if loc[:1] == ("parts",) else 1
    tagged = loc[size - 1 : size] in (("tuning",), ("chord_bars",), ("track",))
    return (*loc[:size], *(item for item in loc[size:] if not (tagged and isinstance(item, str))))


def _owner(path: KeyPath) -> tuple[type[BaseModel], str]:
    """The model to which the key of a path belongs, and the key's name."""
    from solver.brief.feel_table import FeelTable
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief

    model = {1: FeelTable, 2: Part}.get(_depth(path), Brief)
    return model, str(path[_depth(path)]) if path else ""


def _depth(path: KeyPath) -> int:
    """How many tables lie around the key of a path: two around a part's, one around a key of feel."""
    if path[:1] == ("parts",) and len(path) > 2:
        return 2
    return 1 if path[:1] == ("feel",) and len(path) > 1 else 0


def _named(path: KeyPath) -> str:
    field = _depth(path)
    words = [str(path[field])]
    words += [f"entry {item + 1}" if isinstance(item, int) else f'"{short(item)}"' for item in path[field + 1 :]]
    return " ".join(words)


def _right(field: FieldInfo, value: object) -> str:
    choices = choices_of(field)
    if not choices:
        extra = field.json_schema_extra
        assert isinstance(extra, dict)
        return f"write {extra['right']}"
    listed = ", ".join(f'"{choice}"' for choice in choices)
    near = difflib.get_close_matches(value.lower(), choices, n=1) if isinstance(value, str) else []
    return f'did you mean "{near[0]}"? One of {listed}' if near else f"use one of {listed}"


def choices_of(field: FieldInfo) -> tuple[str, ...]:
    """The words a key may take; empty where it takes others."""
    found: list[str] = []
    for option in (field.annotation, *get_args(field.annotation)):
        found += [word for word in get_args(option) if isinstance(word, str)]
    return tuple(dict.fromkeys(found))


def _known_key(path: KeyPath, data: dict[str, Any]) -> str:
    from solver.brief.feel_table import FeelTable
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief, keys_of

    name = str(path[-1])
    if path[0] == "feel":
        near = difflib.get_close_matches(name.lower(), FeelTable.model_fields, n=1)
        return f'did you mean "{near[0]}"?' if near else "the keys are " + ", ".join(FeelTable.model_fields)
    in_part = len(path) > 1
    if name in FeelTable.model_fields:
        return "it belongs to how the loop is played: write it below a header [feel]"
    here, there = (Part, Brief) if in_part else (Brief, Part)
    if name in keys_of(there) and in_part:
        return "it belongs to the whole brief: write it above the first table"
    if name in keys_of(there):
        return "it belongs to a part: write it below a header such as [parts.lead]"
    if not in_part and isinstance(data.get(name), dict):
        return f"write [parts.{short(name)}] if a part is meant"
    near = difflib.get_close_matches(name.lower(), keys_of(here), n=1)
    return f'did you mean "{near[0]}"?' if near else "the keys are " + ", ".join(keys_of(here))
