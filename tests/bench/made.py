"""Briefs in great number and what the tool makes of them: what the figures on dullness and variety look at.

Keys, chord lists, metres and parts are drawn by a seed; everything else is left to the defaults.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.search.pool import arrange

# Deterministic seconds a rhythm. What a search finds in a tenth of it is unlike what a producer gets in the product's
# own limit: leads that leap and repeat notes, where the best ones go by thirds and steps.
LIMIT = 0.5
TONICS = ("A", "B", "C", "D", "E", "F", "G")
# Chord lists by degrees of the minor and the major scale; common practice, no source.
MINOR = (("m0", "M8"), ("m0", "M10"), ("m0", "m5"), ("m0", "M8", "M3", "M10"), ("m0", "M10", "M8", "m7"))
MAJOR = (("M0", "M5"), ("M0", "m9"), ("m9", "M5"), ("M0", "m9", "M5", "M7"), ("M0", "M7", "m9", "M5"))
NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
METRES = ("4/4", "4/4", "4/4", "3/4", "6/8")
WITH = ("low", "background", "low and background")


@dataclass(frozen=True)
class Take:
    """A brief and the arrangements made of it, best first."""

    plan: Plan
    arrangements: tuple[Arrangement, ...]


def brief_text(random: Random) -> str:
    """A brief drawn at random: eight bars with a lead and one or two parts below it."""
    tonic, mode = random.choice(TONICS), random.choice(("minor", "major"))
    chords = random.choice(MINOR if mode == "minor" else MAJOR)
    base = NAMES.index(tonic)
    symbols = [NAMES[(base + int(chord[1:])) % 12] + ("m" if chord[0] == "m" else "") for chord in chords]
    listed = ", ".join(f'"{symbol}"' for symbol in symbols)
    parts = random.choice(WITH).split(" and ")
    lines = [
        f'key = "{tonic} {mode}"',
        f'meter = "{random.choice(METRES)}"',
        "bars = 8",
        f"chords = [{listed}]",
        f"seed = {random.randrange(1000)}",
        "[parts.lead]",
        *(f"[parts.{part}]" for part in parts),
    ]
    return "\n".join(lines) + "\n"


def takes(number: int, count: int, seed: int = 1) -> Iterator[Take]:
    """So many takes of so many arrangements, each of a brief and a seed of its own."""
    random = Random(seed)
    for index in range(number):
        plan = plan_from_text(brief_text(random), f"made-{index}")
        outcome = arrange(plan, count=count, limit=LIMIT, cores=1)
        yield Take(plan, tuple(ranked.arrangement for ranked in outcome.arrangements))
