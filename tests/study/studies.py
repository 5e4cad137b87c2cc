"""Studies of the reference loops, made through files as the command makes them."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from mido import MidiFile

from solver.study.study import Study, study
from tests.study.writing import midi_of, read_loop


def study_midi(file: MidiFile, name: str = "reference.mid") -> Study:
    """The study of a MIDI file, written to disk and read back."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        file.save(str(path))
        return study(path)


@cache
def loop_study(name: str) -> Study:
    """The study of a reference loop."""
    return study_midi(midi_of(read_loop(name)), f"{name}.mid")
