"""A tune judged as the search judges a lead: by its plan, the merits, and their scale on its own rhythm.

A tune has no chord list. Assumed are the chords that the study finds for the line alone, found for every version anew,
the broken ones too: each is judged under the chords that suit it best, so that no version is wrong by the chords of
another. The whole loop counts as one pass through them, so that versions with other chords have as many passes. Of the
merits those apply that a brief with a lead alone has.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from solver.arrangement import Arrangement
from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.heard import Heard
from solver.music.instruments import load_instruments
from solver.music.scales import scale_under_chord
from solver.search.scale import scale_of
from solver.study.harmony import harmony_of
from solver.study.loop import Loop, LoopPart
from solver.study.spelling import chord_of
from tests.outside.ranking.tunes import BARS, LEAD, Tune

INSTRUMENT = "electric guitar"


@dataclass(frozen=True)
class Judged:
    """What each merit says of one version: its worth in shares, 0 for chance and 1 for the best, by merit name."""

    worths: Mapping[str, float]

    def total(self, weights: Mapping[str, float]) -> float:
        """The total, 0 to 100, under any weights."""
        whole = sum(weights[name] for name in self.worths)
        return 100 * sum(weights[name] * worth for name, worth in self.worths.items()) / whole


def plan_of_tune(tune: Tune) -> Plan:
    """The tune as a brief with one lead, as far as the merits look at it."""
    loop = Loop(tune.metre, BARS, None, (LoopPart(LEAD, tune.notes),))
    harmony = harmony_of(loop)
    spans = []
    for index, span in enumerate(harmony.spans):
        chord = chord_of(span.chord, tune.key)
        scale = scale_under_chord(tune.key, chord)
        spans.append(ChordSpan(index, span.start, span.end, chord, scale, 0))
    part = PartPlan(
        name=LEAD,
        role=LEAD,
        instrument=load_instruments()[INSTRUMENT],
        low=min(tune.pitches),
        high=max(tune.pitches),
        notes_per_bar=(1, tune.metre.grid),
        repeat_every=None,
        vary_notes=(0, 0),
        figure="few notes",
        motion="free",
        texture="single",
        max_leap=24,
        longest=tune.slots,
        rank=0,
    )
    return Plan("tune", tune.name, tune.key, 120, tune.metre, BARS, tuple(spans), (part,), 0, 1)


def judged(tune: Tune, weights: Mapping[str, int]) -> Judged:
    """What the merits that have a weight say of a tune."""
    heard = Heard(plan_of_tune(tune), Arrangement(tune.notes))
    return judged_heard(heard, weights)


def judged_heard(heard: Heard, weights: Mapping[str, int]) -> Judged:
    """What the merits that have a weight say of any music."""
    scale = scale_of(heard.plan, heard, weights)
    counts = scale.counts(heard)
    return Judged(
        {
            entry.merit.name: (counts[entry.merit.name] - entry.chance) / (entry.best - entry.chance)
            for entry in scale.measured
        }
    )
