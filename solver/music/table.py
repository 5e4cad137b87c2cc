"""Reading the tables that a producer may edit: TOML in, one clear line where something in it is wrong."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.music.faults import Fault, TableFault, nearest, quoted

if TYPE_CHECKING:
    from pydantic import ValidationError


def read_toml(path: Path) -> dict[str, Any]:
    """The content of a TOML file. Raises TableFault where it cannot be read."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise TableFault(path, "", f"it cannot be read ({error.strerror})", "make it a readable file") from None
    except UnicodeDecodeError:
        raise TableFault(path, "", "it is not text", "save it as UTF-8 text") from None
    except tomllib.TOMLDecodeError as error:
        raise TableFault(path, "", f"it is not TOML: {error}", "correct that line") from None


def table_fault(path: Path, row: str, error: ValidationError, keys: Iterable[str]) -> TableFault:
    """The first error of a row as one line; ``keys`` are the keys a row may have."""
    first = error.errors()[0]
    key = ".".join([row, *(str(step) for step in first["loc"])])
    if first["type"] == "missing":
        return TableFault(path, key, "this key is missing", "add it")
    if first["type"] == "extra_forbidden":
        near = nearest(str(first["loc"][-1]), keys)
        hint = f'did you mean "{near}"?' if near else "known keys: " + ", ".join(keys)
        return TableFault(path, key, "this key is not known", hint)
    cause = first.get("ctx", {}).get("error")
    if isinstance(cause, Fault):
        return TableFault(path, key, cause.wrong, cause.right)
    wanted = first["msg"].removeprefix("Input should be ")
    return TableFault(path, key, f"{quoted(first['input'])} does not fit", f"it should be {wanted}")
