"""A sound file as one channel at the rate that everything here works at."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.study.errors import Unreadable

if TYPE_CHECKING:
    import numpy

RATE = 22_050  # samples a second, which the note model was made for
LONGEST = 600  # seconds
SHORTEST = 2.0
HIGHEST_RATE = 192_000
LOWEST_RATE = 4_000
SILENT = 1e-4  # -80 dB of full scale
FULL = 0.999  # of full scale
CLIPPED = 0.001  # share of samples at full scale from which a recording counts as clipped
BLOCK = 1 << 18  # frames that are read at a time
GIVE = "give WAV, FLAC, OGG or MP3"


@dataclass(frozen=True)
class Signal:
    """Samples of shape (n,), float32 at ``RATE`` a second, and remarks in whole sentences."""

    samples: numpy.ndarray
    remarks: tuple[str, ...] = ()

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return len(self.samples) / RATE


def read_signal(path: Path) -> Signal:
    """The sound of a file, its channels mixed into one. Raises Unreadable."""
    import soundfile

    try:
        with soundfile.SoundFile(str(path)) as file:
            return _read(file)
    except soundfile.LibsndfileError as error:
        why = str(error.error_string).strip().rstrip(".")
        raise Unreadable(f"the sound cannot be read ({why})", GIVE) from error


def _read(file: Any) -> Signal:
    import numpy
    import soxr

    rate, frames = file.samplerate, file.frames
    if not LOWEST_RATE <= rate <= HIGHEST_RATE:
        raise Unreadable(
            f"the sound has {rate} samples a second", f"use {LOWEST_RATE} to {HIGHEST_RATE}, such as 44100"
        )
    if frames > (LONGEST + 1) * rate:
        minutes = frames / rate / 60
        raise Unreadable(f"the sound lasts {minutes:.1f} minutes", f"give at most {LONGEST // 60} minutes of it")
    if frames < SHORTEST * rate:
        raise Unreadable(f"the sound lasts {max(frames, 0) / rate:.2f} s", f"give at least {SHORTEST:g} s")
    stream = soxr.ResampleStream(rate, RATE, 1, dtype="float32")
    pieces, full, heard = [], 0, 0
    for block in file.blocks(BLOCK, dtype="float32", always_2d=True):
        if not numpy.isfinite(block).all():
            raise Unreadable("the sound holds samples that are no numbers", "save it again from where it was made")
        heard += len(block)
        full += int((abs(block).max(axis=1) >= FULL).sum())
        pieces.append(stream.resample_chunk(block.mean(axis=1), last=heard >= frames))
    samples = numpy.concatenate(pieces) if pieces else numpy.zeros(0, dtype=numpy.float32)
    if len(samples) < SHORTEST * RATE * 0.9:
        raise Unreadable("the sound breaks off", "save it again from where it was made")
    peak = float(abs(samples).max())
    if peak < SILENT:
        raise Unreadable("there is nothing but silence", "give a sound with notes in it")
    remarks = ()
    if full > CLIPPED * heard:
        remarks = (
            f"{100 * full / heard:.1f} % of the samples are at full scale; clipping adds notes that nobody plays.",
        )
    return Signal((samples / peak).astype(numpy.float32), remarks)
