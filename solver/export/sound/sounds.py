"""The sounds of the string model: what an instrument's ``sound`` means in numbers.

The numbers were set by ear and by measuring (spectral centroid, decay); the ranges follow the physics of plucked
strings (Fletcher and Rossing 1998, The Physics of Musical Instruments, ch. 9 and 10, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Resonance:
    """One resonance of a body, a pickup or a loudspeaker: centre in Hz, quality, and gain against the direct sound."""

    centre: float
    quality: float
    gain: float


@dataclass(frozen=True)
class Sound:
    """One plucked-string sound. Frequencies in Hz, times in seconds, positions as shares of the string from the bridge.

    ``decay`` is the time in which the fundamental of A3 falls by 60 dB; it grows towards lower notes with the power
    ``decay_slope`` of the pitch's ratio. Partials above ``loss_corner`` fall faster.
    """

    decay: float
    decay_slope: float
    loss_corner: float
    pick: float
    pickup: float | None  # None: what is heard is the force on the bridge
    brightness: float  # partials above are softened by the plectrum's or finger's width
    stiffness: float  # inharmonicity B: partial n lies at n f sqrt(1 + B n^2)
    highest: float  # corner of the low pass of loudspeaker or air
    lowest: float  # corner of the high pass
    body: tuple[Resonance, ...]
    touch: float  # peak of the plectrum's or finger's own noise; a note's root mean square is 0.1
    release: float  # fade after the end of a note
    level: float  # trim, so that all sounds are about equally loud


SOUNDS: dict[str, Sound] = {
    "electric": Sound(
        decay=4.2,
        decay_slope=0.55,
        loss_corner=2600.0,
        pick=0.13,
        pickup=0.21,
        brightness=3800.0,
        stiffness=6e-5,
        highest=5200.0,
        lowest=85.0,
        body=(Resonance(2900.0, 1.6, 0.55), Resonance(130.0, 1.2, 0.25)),
        touch=0.05,
        release=0.055,
        level=1.0,
    ),
    "muted": Sound(
        decay=0.42,
        decay_slope=0.35,
        loss_corner=1100.0,
        pick=0.10,
        pickup=0.19,
        brightness=2600.0,
        stiffness=6e-5,
        highest=4200.0,
        lowest=80.0,
        body=(Resonance(2200.0, 1.4, 0.3), Resonance(140.0, 1.5, 0.6)),
        touch=0.1,
        release=0.035,
        level=1.25,
    ),
    "acoustic": Sound(
        decay=3.0,
        decay_slope=0.6,
        loss_corner=3400.0,
        pick=0.17,
        pickup=None,
        brightness=6200.0,
        stiffness=9e-5,
        highest=9500.0,
        lowest=70.0,
        body=(
            Resonance(102.0, 9.0, 0.9),
            Resonance(196.0, 11.0, 0.8),
            Resonance(390.0, 8.0, 0.5),
            Resonance(780.0, 5.0, 0.3),
            Resonance(2700.0, 1.2, 0.5),
        ),
        touch=0.09,
        release=0.080,
        level=0.95,
    ),
    "nylon": Sound(
        decay=2.3,
        decay_slope=0.5,
        loss_corner=1500.0,
        pick=0.24,
        pickup=None,
        brightness=2300.0,
        stiffness=2e-5,
        highest=6500.0,
        lowest=65.0,
        body=(
            Resonance(96.0, 8.0, 1.1),
            Resonance(184.0, 10.0, 1.0),
            Resonance(300.0, 8.0, 0.6),
            Resonance(560.0, 5.0, 0.35),
        ),
        touch=0.05,
        release=0.085,
        level=1.0,
    ),
    "low": Sound(
        decay=6.4,
        decay_slope=0.5,
        loss_corner=1800.0,
        pick=0.11,
        pickup=0.16,
        brightness=2900.0,
        stiffness=1.1e-4,
        highest=4400.0,
        lowest=55.0,
        body=(Resonance(1900.0, 1.5, 0.45), Resonance(95.0, 1.3, 0.45)),
        touch=0.05,
        release=0.060,
        level=1.05,
    ),
    "bass": Sound(
        decay=5.5,
        decay_slope=0.45,
        loss_corner=950.0,
        pick=0.20,
        pickup=0.14,
        brightness=1300.0,
        stiffness=1.4e-4,
        highest=2800.0,
        lowest=28.0,
        body=(Resonance(800.0, 1.2, 0.35), Resonance(70.0, 1.1, 0.35)),
        touch=0.03,
        release=0.075,
        level=1.25,
    ),
}
