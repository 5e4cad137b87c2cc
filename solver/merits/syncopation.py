"""Syncopation suits the role (Longuet-Higgins and Lee 1984, Music Perception 1(4) 424-441).

Unit: what each part's syncopation over the loop is away from its role's target a bar, as a loss. The targets are ours:
medium syncopation moves people most (Witek et al. 2014, from memory), and a low part carries the beat.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.merits.merit import Merit, Onsets
from solver.music.metre import Metre, longuet_higgins_lee

NAME = "syncopation suits the role"
TARGET = {"lead": 3, "counter": 3, "background": 2, "chords": 3, "low": 1}

LINES_KEPT = 512  # a rhythm's lines are those of many others too


def measure_rhythm(plan: Plan, onsets: Mapping[str, Onsets]) -> int:
    """The loss over all parts, negative."""
    return -sum(_away(onsets[part.name], plan.metre, plan.bars, TARGET[part.role]) for part in plan.parts)


@lru_cache(maxsize=LINES_KEPT)
def _away(onsets: Onsets, metre: Metre, bars: int, target: int) -> int:
    return abs(longuet_higgins_lee(onsets, metre, bars) - target * bars)


def measure(heard: Heard) -> int:
    """The same on finished notes."""
    return measure_rhythm(heard.plan, heard.onsets)


def sentence(heard: Heard) -> str:
    """Each part's value a bar."""
    onsets = heard.onsets
    values = (
        f"{part.name} {longuet_higgins_lee(onsets[part.name], heard.plan.metre, heard.plan.bars) / heard.plan.bars:.1f}"
        f" (wanted {TARGET[part.role]})"
        for part in heard.plan.parts
    )
    return "syncopation a bar: " + ", ".join(values)


MERIT = Merit(
    NAME,
    lambda plan: True,
    measure,
    lambda heard: 0,
    sentence,
    measure_rhythm=measure_rhythm,
    best_rhythm=lambda plan, onsets: 0,
)
