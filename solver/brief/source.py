"""A brief as it was read: its text, its values, and where each of them stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.brief.errors import BriefError, BriefErrors
from solver.brief.findings import Finding, Findings
from solver.brief.places import KeyPath, Place, Places, places_in
from solver.brief.toml_text import parse_toml

if TYPE_CHECKING:
    from solver.avoided import Avoided
    from solver.brief.schema import Brief
    from solver.study.errors import StudyError

# What stands in for a key that is missing or wrong while the other keys are checked.
STAND_INS: dict[str, Any] = {"key": "C major", "bars": 8, "chords": ["C"], "parts": {}}


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

    @cached_property
    def references(self) -> tuple[Avoided | StudyError, ...]:
        """What ``avoid`` names, looked for from the brief's folder and read once; an error where it cannot be read."""
        return tuple(_reference(self.path.parent / name, name) for name in self.brief.avoid)

    def errors(self, findings: Iterable[Finding]) -> BriefErrors:
        """Findings as errors with their places."""
        return BriefErrors(
            BriefError(str(self.path), *self._where(item), item.wrong, item.right, item.path) for item in findings
        )

    def _where(self, finding: Finding) -> Place:
        return self.places.key(finding.path) if finding.at_key else self.places.value(finding.path)


def _reference(path: Path, name: str) -> Avoided | StudyError:
    from solver.study.errors import StudyError
    from solver.study.references import avoided_file

    try:
        return avoided_file(path, name)
    except StudyError as error:
        return error


def source_from_text(text: str, path: Path) -> tuple[Source, Findings]:
    """The brief in a text, with what the schema finds wrong with it; wrong values are left out of it.

    Raises BriefErrors where the text is not TOML.
    """
    from pydantic import ValidationError

    from solver.brief.schema import Brief
    from solver.brief.wording import findings_of

    data = parse_toml(text, path)
    try:
        return Source(path, text, Brief.model_validate(data)), Findings()
    except ValidationError as error:
        found = findings_of(error, data)
    sound = _without(data, {item.field for item in found})
    return Source(path, text, Brief.model_validate(sound)), Findings(found)


def source_of(text: str, name: str) -> Source:
    """A brief from its text alone, as a take holds it; ``name`` stands for its file's name without ``.toml``."""
    return source_from_text(text, Path(f"{name}.toml"))[0]


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
    if isinstance(sound.get("prefer"), dict):
        sound["prefer"] = {key: value for key, value in sound["prefer"].items() if ("prefer", key) not in broken}
    return {**STAND_INS, **sound}
