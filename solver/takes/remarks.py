"""A person's own words about a take's arrangements: a favourite mark and a short note, in ``remarks.json`` beside
``take.json``.

They change while everything else in a take stays as it was written, so they have a file of their own. It is replaced
whole under the lock of the folder of takes: two windows at once lose nothing.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from solver.takes.record import TakeError, parsed

FILE = "remarks.json"
LONGEST_NOTE = 500  # characters


@dataclass(frozen=True)
class Remark:
    """What is said about one arrangement."""

    favourite: bool = False
    note: str = ""


NOTHING = Remark()


class Overtaken(Exception):
    """The note was changed elsewhere meanwhile; ``now`` is what it says."""

    def __init__(self, now: Remark) -> None:
        super().__init__("the note was changed elsewhere")
        self.now = now


def read_remarks(take: Path) -> dict[int, Remark]:
    """The remarks in a take's folder, by the arrangement's number. Raises TakeError where the file is broken."""
    if not (take / FILE).exists():
        return {}
    from solver.takes.validation import RemarkRows

    try:
        rows = parsed(take / FILE, RemarkRows)
    except TakeError as error:
        raise TakeError(take / FILE, "holds no remarks as they are written here; move the file away") from error
    return {number: Remark(row.favourite, row.note) for number, row in rows.items()}


def remark(
    take: Path, number: int, *, favourite: bool | None = None, note: str | None = None, was: str | None = None
) -> Remark:
    """Change what is said about an arrangement, and return it; None leaves a part of it as it is.

    ``was`` is the note that the person saw: where it says something else by now, Overtaken is raised. Raises ValueError
    for a note that is too long or has several lines, and TakeError where the file is broken or cannot be written.
    """
    from filelock import FileLock

    from solver.takes.folder import GATE

    if note is not None and (len(note) > LONGEST_NOTE or not all(char.isprintable() for char in note)):
        raise ValueError(f"a note is one line of at most {LONGEST_NOTE} characters")
    try:
        with FileLock(take.parent / GATE):
            remarks = read_remarks(take)
            now = remarks.get(number, NOTHING)
            if note is not None and was is not None and now.note not in (was, note):
                raise Overtaken(now)
            if favourite is not None:
                now = replace(now, favourite=favourite)
            if note is not None:
                now = replace(now, note=note)
            remarks[number] = now
            _write(take / FILE, {key: asdict(remarks[key]) for key in sorted(remarks) if remarks[key] != NOTHING})
    except OSError as error:
        raise TakeError(take / FILE, f"cannot be written ({error.strerror or error})") from error
    return now


def _write(path: Path, data: dict[int, dict[str, bool | str]]) -> None:
    part = path.with_name(f".{path.name}.part")
    with part.open("w", encoding="utf-8", newline="\n") as file:
        file.write(json.dumps(data, ensure_ascii=False, indent=1) + "\n")
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
