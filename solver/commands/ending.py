"""How a command ends: its exit code, and what it says on standard error where it does not end well."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

DONE = 0
REFUSED = 1  # the brief cannot be satisfied, or the check found breaches
WRONG = 2  # the input or the command is wrong
UNDECIDED = 3  # time ran out before it was known
INTERRUPTED = 130


class Ending(Exception):
    """The command ends here with an exit code; ``str`` is what to say, one line for each thing."""

    def __init__(self, code: int, message: str) -> None:
        super().__init__(message)
        self.code = code


@contextmanager
def input_errors() -> Iterator[None]:
    """Turn what readers and writers raise about files into an Ending."""
    from solver.brief.errors import BriefErrors
    from solver.export.midi_reading import MidiError
    from solver.take import TakeError

    try:
        yield
    except (BriefErrors, MidiError, TakeError) as error:
        raise Ending(WRONG, str(error)) from error
