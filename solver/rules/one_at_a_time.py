"""A single-line part plays one note at a time; only a broken chord's notes ring over each other."""

from __future__ import annotations

import itertools

from solver.heard import Heard
from solver.rules.rule import Breach, Rule

NAME = "a line plays one note at a time"


def breaches(heard: Heard) -> list[Breach]:
    """Notes of a line that start together or overlap. The model's slots cannot, so this half stands alone."""
    found = []
    for part in heard.plan.parts:
        if not part.is_line:
            continue
        strokes = heard.of(part)
        for stroke in strokes:
            if len(stroke.pitches) > 1:
                found.append(Breach(NAME, part.name, stroke.onset, f"{len(stroke.pitches)} notes start together"))
        if not part.rings:
            found.extend(
                Breach(NAME, part.name, after.onset, "the note before still sounds")
                for before, after in itertools.pairwise(strokes)
                if before.end > after.onset
            )
    return found


RULE = Rule(NAME, breaches)
