"""``--avoid FILE``: what a command keeps clear of besides what the brief names."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from solver.commands.ending import WRONG, Ending
from solver.commands.values import NamedPath

if TYPE_CHECKING:
    from solver.avoided import Avoided

AVOIDED = NamedPath("refs/harbour.mid")
AVOID_HELP = "Keep clear of this MIDI or MusicXML file too; may be given again."


def avoided_files(files: Iterable[Path]) -> tuple[Avoided, ...]:
    """The files as what is kept clear of. Raises Ending where one cannot be read."""
    from solver.study.errors import StudyError
    from solver.study.references import avoided_file

    try:
        # A take records the name, and no machine's own path belongs in a take.
        return tuple(avoided_file(file, file.name if file.is_absolute() else str(file)) for file in files)
    except StudyError as error:
        raise Ending(WRONG, str(error)) from error
