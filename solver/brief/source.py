"""A brief as it was read: its text, its values, and where each of them stands."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.brief.errors import BriefError, BriefErrors
from solver.brief.findings import Finding, Findings
from solver.brief.places import KeyPath, Place, Places, places_in

if TYPE_CHECKING:
    from solver.brief.schema import Brief

LONGEST_LINE = 4000  # characters; the TOML reader needs time in the square of a line's length
# What stands in for a key that is missing or wrong while the other keys are checked.
STAND_INS: dict[str, Any] = {"key": "C major", "bars": 8, "chords": ["C"], "parts": {}}
_TOML_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_TOML_HELP = (
    ("Cannot overwrite", "give each key once"),
    ("twice", "open each table once, with all its keys below it"),
    ("Cannot", "open each table once, with all its keys below it"),
    ("Expected '='", "write lines such as bars = 8, and # before a remark"),
    ("Invalid statement", "write lines such as bars = 8, and # before a remark"),
    ("Expected newline", "write one key a line, and # before a remark"),
    ("Invalid value", 'put text into quotes, as in key = "B minor"'),
    ("nclosed array", "separate the entries with commas and close the list with ]"),
    ("string", 'close the text with a quotation mark on the same line, as in key = "B minor"'),
    ("Illegal character", 'close the text with a quotation mark on the same line, as in key = "B minor"'),
)


@dataclass(frozen=True)
class Source:
    """A brief's file (its path as it was given), its text, and its values."""

    path: Path
    text: str
    brief: Brief

    @property
    def name(self) -> str:
        """The file's name without ``.toml``: what takes are kept under."""
        return self.path.name.removesuffix(".toml")

    @cached_property
    def places(self) -> Places:
        """Where keys and values stand."""
        return places_in(self.text)

    def place(self, key_path: KeyPath) -> Place:
        """Line and column, from 1, of the value at a key path; of the nearest table around it where it is not there."""
        return self.places.value(key_path)

    def errors(self, findings: Iterable[Finding]) -> BriefErrors:
        """Findings as errors with their places."""
        return BriefErrors(BriefError(str(self.path), *self._where(item), item.wrong, item.right) for item in findings)

    def _where(self, finding: Finding) -> Place:
        return self.places.key(finding.path) if finding.at_key else self.places.value(finding.path)


def source_from_text(text: str, path: Path) -> tuple[Source, Findings]:
    """The brief in a text, with what the schema finds wrong with it; wrong values are left out of it.

    Raises BriefErrors where the text is not TOML.
    """
    from pydantic import ValidationError

    from solver.brief.schema import Brief
    from solver.brief.wording import findings_of

    data = _toml(text, path)
    try:
        return Source(path, text, Brief.model_validate(data)), Findings()
    except ValidationError as error:
        found = findings_of(error, data)
    sound = _without(data, {item.field for item in found})
    return Source(path, text, Brief.model_validate(sound)), Findings(found)


def _without(data: dict[str, Any], broken: set[KeyPath]) -> dict[str, Any]:
    """The values without those at the broken fields, stand-ins where one must be there."""
    sound = {key: value for key, value in data.items() if (key,) not in broken}
    if isinstance(sound.get("parts"), dict):
        sound["parts"] = {
            name: {key: value for key, value in part.items() if ("parts", name, key) not in broken}
            if isinstance(part, dict)
            else {}
            for name, part in sound["parts"].items()
        }
    return {**STAND_INS, **sound}


def _toml(text: str, path: Path) -> dict[str, Any]:
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            wrong = f"the line has {len(line)} characters"
            raise BriefErrors([BriefError(str(path), number, 1, wrong, f"use at most {LONGEST_LINE}")])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BriefErrors([_syntax_error(str(error), text, path)]) from None
    except RecursionError:
        reason = BriefError(str(path), None, None, "lists stand in lists too deeply", "write plain lists of values")
        raise BriefErrors([reason]) from None
    except ValueError:  # a number of thousands of digits, which Python will not read
        reason = BriefError(str(path), None, None, "it holds a number with far too many digits", "use smaller numbers")
        raise BriefErrors([reason]) from None


def _syntax_error(message: str, text: str, path: Path) -> BriefError:
    match = _TOML_PLACE.search(message)
    lines = text.split("\n")
    line, column = len(lines), len(lines[-1]) + 1
    if match and match[1]:
        line, column = int(match[1]), int(match[2])
    reason = message[: match.start()] if match else message
    right = next((words for part, words in _TOML_HELP if part in reason), "write keys and values as TOML has them")
    return BriefError(str(path), line, column, f"not valid TOML: {reason[:1].lower()}{reason[1:]}", right)
