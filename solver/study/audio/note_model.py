"""What a small neural network hears: for each moment and each of 88 pitches, how surely a note sounds or begins.

The network is the one of Bittner, Bosch, Rubinstein, Meseguer-Brocal and Ewert 2022, A lightweight instrument-agnostic
model for polyphonic note transcription and multipitch estimation, ICASSP (from memory), in the ONNX file that its
package ships. Only that file is used, and run on one thread, so that every machine sums in the same order.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.study.audio.signal import RATE, Signal

if TYPE_CHECKING:
    import numpy

WINDOW = 43_844  # samples that the network takes at a time: two seconds less one hop
HOP = 256  # samples from frame to frame
MARGIN = 15  # frames at either end of a window that its neighbours hear better
LOWEST = 21  # MIDI number of the first pitch
NOTE, ONSET = "StatefulPartitionedCall:1", "StatefulPartitionedCall:2"  # outputs of the file
INPUT = "serving_default_input_2:0"


@dataclass(frozen=True)
class Activations:
    """``notes`` and ``onsets`` from 0 to 1 of shape (frames, 88), and each frame's time in seconds."""

    notes: numpy.ndarray
    onsets: numpy.ndarray
    times: numpy.ndarray


def activations(signal: Signal, model: Path) -> Activations:
    """What the network hears in a signal, window by window."""
    import numpy
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    session: Any = onnxruntime.InferenceSession(str(model), options, providers=["CPUExecutionProvider"])
    before = numpy.zeros(MARGIN * HOP, dtype=numpy.float32)
    samples = numpy.concatenate([before, signal.samples])
    notes, onsets, times = [], [], []
    for start in range(0, len(samples), WINDOW - 2 * MARGIN * HOP):
        window = numpy.zeros(WINDOW, dtype=numpy.float32)
        heard = samples[start : start + WINDOW]
        window[: len(heard)] = heard
        sounding, beginning = session.run([NOTE, ONSET], {INPUT: window[None, :, None]})
        frames = numpy.arange(len(sounding[0]))[MARGIN:-MARGIN]
        notes.append(sounding[0][frames])
        onsets.append(beginning[0][frames])
        times.append((start + HOP * (frames - MARGIN)) / RATE)
    inside = numpy.concatenate(times) < signal.seconds
    return Activations(
        numpy.concatenate(notes)[inside], numpy.concatenate(onsets)[inside], numpy.concatenate(times)[inside]
    )
