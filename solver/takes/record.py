"""What a take records: dataclasses, their JSON text, and a reader that tells what is wrong with a broken one.

``take.json`` holds no time of day and no machine's path. Its notes stand one to a line, so that two takes can be
compared line by line.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from solver import __version__
from solver.arrangement import Note, Ranked
from solver.avoided import Avoided
from solver.held import Held

FORMAT = 1
RECORD = "take.json"
RIGHT = "name a take's folder, such as out/ferry-lights/take-001"
LARGEST_RECORD = 50_000_000  # bytes
LIBRARIES = ("ortools", "python-constraint2", "numpy")

Option = str | int | float | bool | None


class TakeError(Exception):
    """A take that cannot be read or written: ``path: message`` on one line."""

    def __init__(self, path: Path, message: str) -> None:
        self.path, self.message = path, message
        super().__init__(f"{path}: {message}")


@dataclass(frozen=True)
class Parent:
    """The arrangement a take was made from: number ``arrangement`` (from 1) of the take with that folder name."""

    take: str
    arrangement: int


def library_versions() -> dict[str, str]:
    """Installed versions of the libraries that what is found depends on; "absent" where one is not installed."""
    from importlib.metadata import PackageNotFoundError, version

    def installed(name: str) -> str:
        try:
            return version(name)
        except PackageNotFoundError:
            return "absent"

    return {name: installed(name) for name in LIBRARIES}


@dataclass(frozen=True)
class TakeHeader:
    """Everything that led to a take's arrangements.

    ``brief_name`` is the brief's file name without ``.toml`` and ``brief_text`` the whole file. ``options`` are those
    of the command that change what is found. ``locks`` and ``changes`` say, as given to the command, what a rework
    kept and what it changed. ``references`` are the files kept clear of, reduced to moves, so that the take can be
    reworked without them; of the earlier takes kept clear of the folders' names are enough, for they lie beside it.
    ``compared`` says how good the first arrangement is among all rhythms, where they were compared.
    ``lines`` are the parts that the brief takes from files, for the same reason.
    """

    brief_name: str
    brief_text: str
    seed: int
    options: dict[str, Option] = field(default_factory=dict)
    parent: Parent | None = None
    locks: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    sennit: str = __version__
    versions: dict[str, str] = field(default_factory=library_versions)
    references: tuple[Avoided, ...] = ()
    avoided_takes: tuple[str, ...] = ()
    compared: str = ""
    lines: tuple[Held, ...] = ()


@dataclass(frozen=True)
class Take:
    """A take as read: its folder, what led to it, which sound its previews have, and its arrangements, best first."""

    folder: Path
    header: TakeHeader
    sound: str
    arrangements: tuple[Ranked, ...]

    @property
    def name(self) -> str:
        """The folder's name: ``take-001``."""
        return self.folder.name


def header_data(header: TakeHeader) -> dict[str, Any]:
    """A header as JSON values, in the order in which ``take.json`` has them."""
    return {
        "format": FORMAT,
        "sennit": header.sennit,
        "versions": header.versions,
        "brief_name": header.brief_name,
        "brief": header.brief_text,
        "seed": header.seed,
        "options": header.options,
        "parent": asdict(header.parent) if header.parent else None,
        "locks": list(header.locks),
        "changes": list(header.changes),
        **({"references": [_reference_data(entry) for entry in header.references]} if header.references else {}),
        **({"avoided_takes": list(header.avoided_takes)} if header.avoided_takes else {}),
        **({"compared": header.compared} if header.compared else {}),
        **({"lines": [_held_data(line) for line in header.lines]} if header.lines else {}),
    }


def _held_data(held: Held) -> dict[str, Any]:
    """What is held of a part as JSON values."""
    return {
        "part": held.part,
        "start": held.start,
        "end": held.end,
        "words": held.words,
        "notes": [_note_data(note) for note in held.notes],
    }


def _reference_data(reference: Avoided) -> dict[str, Any]:
    """A reference as JSON values, its times in quarters as fractions."""
    parts = [
        {
            "part": line.part,
            "first": str(line.first),
            "intervals": [move.interval for move in line.moves],
            "quarters": [str(move.quarters) for move in line.moves],
        }
        for line in reference.lines
    ]
    return {"name": reference.name, "bar": str(reference.bar), "parts": parts}


def ranked_data(ranked: Ranked) -> dict[str, Any]:
    """An arrangement with its judgement as JSON values."""
    return {
        "total": ranked.total,
        "bound": ranked.bound,
        "proved": ranked.proved,
        "proof": ranked.proof,
        "summary": ranked.summary,
        "marks": [asdict(mark) for mark in ranked.marks],
        **({"excused": [asdict(breach) for breach in ranked.excused]} if ranked.excused else {}),
        **({"nearest": [asdict(entry) for entry in ranked.nearest]} if ranked.nearest else {}),
        "notes": [_note_data(note) for note in ranked.arrangement.notes],
    }


def _note_data(note: Note) -> dict[str, Any]:
    """A note as JSON values; one without an ornament does not speak of it."""
    data = asdict(note)
    return {name: value for name, value in data.items() if name != "ornament" or value is not None}


def take_text(header: TakeHeader, sound: str, arrangements: list[Ranked]) -> str:
    """The text of ``take.json``."""
    data = {**header_data(header), "sound": sound, "arrangements": [ranked_data(ranked) for ranked in arrangements]}
    return layout(data) + "\n"


def layout(value: Any, indent: str = "") -> str:
    """JSON with a line for each entry, except that objects and lists of plain values stay on one line."""
    inner = indent + " "
    entries = list(value.values()) if isinstance(value, dict) else value
    if not isinstance(value, dict | list) or (indent and not any(isinstance(item, dict | list) for item in entries)):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    if isinstance(value, dict):
        lines = [f"{inner}{json.dumps(key, ensure_ascii=False)}: {layout(item, inner)}" for key, item in value.items()]
        return "{\n" + ",\n".join(lines) + f"\n{indent}}}"
    return "[\n" + ",\n".join(inner + layout(item, inner) for item in value) + f"\n{indent}]"


def read_take(path: Path) -> Take:
    """Read a take from its folder, or from its ``take.json``. Raises TakeError with one clear line."""
    from solver.takes.validation import TakeRow

    record = path / RECORD if path.is_dir() else path
    if path.is_file() and path.suffix != Path(RECORD).suffix:
        raise TakeError(path, f"this is no take; {RIGHT}")
    if path.is_dir() and not record.exists():
        raise TakeError(path, f"there is no take in this folder; {RIGHT}")
    row: TakeRow = parsed(record, TakeRow)
    return Take(record.parent, row.header(), row.sound, tuple(entry.ranked() for entry in row.arrangements))


def parsed(record: Path, kind: type) -> Any:
    """The file's JSON as one of the checked row types of ``solver.takes.validation``. Raises TakeError."""
    from pydantic import TypeAdapter, ValidationError

    try:
        with record.open("rb") as file:
            data = file.read(LARGEST_RECORD + 1)
    except OSError as error:
        raise TakeError(record, f"cannot be read ({error.strerror or error}); {RIGHT}") from error
    if len(data) > LARGEST_RECORD:
        raise TakeError(record, "is too large to be a take's record; " + RIGHT)
    try:
        return TypeAdapter(kind).validate_json(data)
    except ValidationError as problem:
        raise TakeError(record, _complaint(problem.errors()[0])) from None


def _complaint(error: Any) -> str:
    """The first thing wrong with a record: its place as a key path, and pydantic's reason in one line."""
    place = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in error["loc"]).lstrip(".")
    reason = error["msg"].removeprefix("Value error, ").replace("\n", " ")
    where = f"{place}: " if place else ""
    return f"{where}{reason[:1].lower()}{reason[1:]}; the take is broken, make it again from its brief"
