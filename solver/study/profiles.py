"""Key profiles: how much each degree of a key sounds, or is felt to fit, by published experiments and counts.

Index 0 is the tonic, then upwards by semitones. Two traps are known: the second value of Krumhansl and Kessler's
major profile is 2.23 (2.33 is a misprint in circulation), and the ninth of Temperley's (2007) Essen major profile is
0.001 (0.006 is one).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Profile:
    """A major and a minor profile and where they were published."""

    name: str
    major: tuple[float, ...]
    minor: tuple[float, ...]
    source: str


AARDEN_MAJOR = (
    *(17.7661, 0.145624, 14.9265, 0.160186, 19.8049, 11.3587),
    *(0.291248, 22.062, 0.145624, 8.15494, 0.232998, 4.95122),
)
AARDEN_MINOR = (
    *(18.2648, 0.737619, 14.0499, 16.8599, 0.702494, 14.4362),
    *(0.702494, 18.6161, 4.56621, 1.93186, 7.37619, 1.75623),
)

PROFILES: tuple[Profile, ...] = (
    Profile(
        "probe tones",
        (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88),
        (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17),
        "Krumhansl and Kessler 1982, Psychological Review 89(4) 334-368",
    ),
    Profile(
        "rules of preference",
        (5.0, 2.0, 3.5, 2.0, 4.5, 4.0, 2.0, 4.5, 2.0, 3.5, 1.5, 4.0),
        (5.0, 2.0, 3.5, 4.5, 2.0, 4.0, 2.0, 4.5, 3.5, 2.0, 1.5, 4.0),
        "Temperley 1999, Music Perception 17(1) 65-100",
    ),
    Profile(
        "continuity",
        AARDEN_MAJOR,
        AARDEN_MINOR,
        "Aarden 2003, dissertation, Ohio State University",
    ),
    Profile(
        "chord counts",
        (16.80, 0.86, 12.95, 1.41, 13.49, 11.93, 1.25, 20.28, 1.80, 8.04, 0.62, 10.57),
        (18.16, 0.69, 12.99, 13.34, 1.07, 11.15, 1.38, 21.07, 7.49, 1.53, 0.92, 10.21),
        "Bellman 2005, after Budge 1943",
    ),
    Profile(
        "textbook corpus",
        (0.748, 0.060, 0.488, 0.082, 0.670, 0.460, 0.096, 0.715, 0.104, 0.366, 0.057, 0.400),
        (0.712, 0.084, 0.474, 0.618, 0.049, 0.460, 0.105, 0.747, 0.404, 0.067, 0.133, 0.330),
        "Temperley 2007, Music and Probability",
    ),
    Profile(
        "counted pieces",
        (0.238, 0.006, 0.111, 0.006, 0.137, 0.094, 0.016, 0.214, 0.009, 0.080, 0.008, 0.081),
        (0.220, 0.006, 0.104, 0.123, 0.019, 0.103, 0.012, 0.214, 0.062, 0.022, 0.061, 0.052),
        "Albrecht and Shanahan 2013, Music Perception 31(1) 59-67, appendix",
    ),
    Profile(
        "plain weights",
        (2, 0, 1, 0, 1, 1, 0, 2, 0, 1, 0, 1),
        (2, 0, 1, 1, 0, 1, 0, 2, 1, 0, 0.5, 0.5),
        "Sapp, documentation of keycor",
    ),
)
