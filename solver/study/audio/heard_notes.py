"""Notes out of what the network hears.

A note begins where the onset activation, or a jump of the note activation, has a peak; it lasts as long as the note
activation stays up. Its confidence is the mean of that activation. What sounds an octave, a twelfth and so on above a
surer note that begins with it is taken for its overtone. The numbers were set by trial on renders of our own.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solver.study.audio.note_model import LOWEST, Activations

if TYPE_CHECKING:
    import numpy

BEGINS = 0.6  # onset activation
LASTS = 0.3  # note activation
RESTS = 11  # frames below it that end a note
SHORTEST = 8  # frames: about 90 ms
TOGETHER = 0.05  # seconds within which two notes begin together
OVERTONES = frozenset({12, 19, 24, 28, 31})  # semitones above the fundamental
FAINTER = 0.8  # an overtone is less sure than its fundamental by this factor


@dataclass(frozen=True, order=True)
class HeardNote:
    """One note: seconds, MIDI number, and how sure the network is of it, from 0 to 1."""

    start: float
    end: float
    pitch: int
    confidence: float


def notes_of(heard: Activations) -> tuple[HeardNote, ...]:
    """The notes in order of time."""
    import numpy

    if len(heard.notes) < 3:
        return ()
    begins = numpy.maximum(heard.onsets, _jumps(heard))
    inner = begins[1:-1]
    peaks = (inner >= BEGINS) & (inner > begins[:-2]) & (inner >= begins[2:])
    left = heard.notes.copy()
    found = []
    # From the end backwards, so that a note ends where the next one of its pitch begins.
    for frame, index in sorted(
        ((int(t) + 1, int(p)) for t, p in zip(*numpy.nonzero(peaks), strict=True)), reverse=True
    ):
        end = _end(left[:, index], frame)
        if end - frame <= SHORTEST:
            continue
        left[frame:end, max(0, index - 1) : index + 2] = 0
        confidence = float(heard.notes[frame:end, index].mean())
        start, stop = float(heard.times[frame]), float(heard.times[end])
        found.append(HeardNote(round(start, 4), round(stop, 4), index + LOWEST, round(confidence, 3)))
    return _without_overtones(sorted(found))


def _jumps(heard: Activations) -> numpy.ndarray:
    """How much the note activation rises over two frames, on the scale of the onset activation."""
    import numpy

    notes = heard.notes
    rises = numpy.zeros_like(notes)
    rises[2:] = numpy.maximum(numpy.minimum(notes[2:] - notes[1:-1], notes[2:] - notes[:-2]), 0)
    most = float(rises.max())
    return rises * (float(heard.onsets.max()) / most) if most > 0 else rises


def _end(activation: numpy.ndarray, frame: int) -> int:
    """The first frame at which a note that begins at ``frame`` no longer sounds."""
    end, low = frame + 1, 0
    while end < len(activation) - 1 and low < RESTS:
        low = low + 1 if activation[end] < LASTS else 0
        end += 1
    return end - low


def _without_overtones(notes: list[HeardNote]) -> tuple[HeardNote, ...]:
    starts = [note.start for note in notes]

    def is_overtone(note: HeardNote) -> bool:
        near = notes[bisect_left(starts, note.start - TOGETHER) : bisect_left(starts, note.start + TOGETHER)]
        return any(
            note.pitch - other.pitch in OVERTONES and note.confidence < FAINTER * other.confidence for other in near
        )

    return tuple(note for note in notes if not is_overtone(note))
