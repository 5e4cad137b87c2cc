"""Sounds laid into a loop: what goes past its end goes on at its start."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]


def add_round(loop: Samples, wave: Samples, start: int) -> None:
    """Add a wave into a loop (time is the last axis) from a sample on, which may lie before its start."""
    length = loop.shape[-1]
    at, done = start % length, 0
    while done < wave.shape[-1]:
        piece = min(length - at, wave.shape[-1] - done)
        loop[..., at : at + piece] += wave[..., done : done + piece]
        at, done = 0, done + piece
