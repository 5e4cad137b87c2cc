"""Notes out of activations that are made up."""

from __future__ import annotations

import numpy as np

from solver.study.audio.heard_notes import notes_of
from solver.study.audio.note_model import LOWEST, Activations

FRAMES = 200
SECONDS = 0.0116


def activations(*notes: tuple[int, int, int, float]) -> Activations:
    """Notes as (first frame, end, pitch, activation)."""
    sounding, beginning = np.zeros((FRAMES, 88)), np.zeros((FRAMES, 88))
    for start, end, pitch, level in notes:
        sounding[start:end, pitch - LOWEST] = level
        beginning[start, pitch - LOWEST] = 0.95
    return Activations(sounding, beginning, np.arange(FRAMES) * SECONDS)


def found(*notes: tuple[int, int, int, float]) -> list[tuple[int, int, int]]:
    return [
        (round(note.start / SECONDS), round(note.end / SECONDS), note.pitch) for note in notes_of(activations(*notes))
    ]


def test_notes_begin_and_end_where_they_sound() -> None:
    assert found((10, 60, 60, 0.8), (70, 90, 64, 0.6)) == [(10, 60, 60), (70, 90, 64)]
    (note,) = notes_of(activations((10, 60, 60, 0.8)))
    assert note.confidence == 0.8


def test_a_note_ends_where_its_pitch_begins_again() -> None:
    assert found((10, 60, 60, 0.8), (60, 90, 60, 0.8)) == [(10, 60, 60), (60, 90, 60)]


def test_what_is_short_or_faint_is_no_note() -> None:
    assert found((10, 16, 60, 0.8)) == []
    assert found((10, 60, 60, 0.2)) == []
    assert notes_of(Activations(np.zeros((2, 88)), np.zeros((2, 88)), np.zeros(2))) == ()


def test_overtones_of_a_surer_note_are_left_out() -> None:
    assert found((10, 60, 48, 0.9), (11, 60, 60, 0.5), (12, 60, 67, 0.5)) == [(10, 60, 48)]
    assert found((10, 60, 48, 0.6), (11, 60, 60, 0.7)) == [(10, 60, 48), (11, 60, 60)]
    assert found((10, 60, 48, 0.9), (40, 90, 60, 0.5)) == [(10, 60, 48), (40, 90, 60)]
