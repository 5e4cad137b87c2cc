"""A study as a plan and an arrangement, so that the picture and the merits read a reference as they read a take."""

from __future__ import annotations

from solver.arrangement import Arrangement
from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.music.instruments import Instrument, load_instruments
from solver.music.scales import scale_under_chord
from solver.study.spelling import chord_of
from solver.study.study import PartStudy, Study

FALLBACK = "electric guitar"  # for a part that no instrument here plays


def plan_of(study: Study, title: str) -> Plan:
    """What the reference is, in the terms of a plan. Ranges are what the notes span; nothing is asked for."""
    grid = study.loop.metre.grid
    instruments = load_instruments()
    fallback = instruments.get(FALLBACK) or next(iter(instruments.values()))
    spans = []
    for index, span in enumerate(study.harmony.spans):
        home = span.start % (study.harmony.pass_bars * grid)
        chord = chord_of(span.chord, study.key, study.slashes.get(home))
        passes = span.start // (study.harmony.pass_bars * grid)
        spans.append(ChordSpan(index, span.start, span.end, chord, scale_under_chord(study.key, chord), passes))
    return Plan(
        name=study.path.stem,
        title=title,
        key=study.key,
        tempo=study.tempo,
        metre=study.loop.metre,
        bars=study.bars,
        spans=tuple(spans),
        parts=tuple(_part_plan(part, rank, fallback, study.loop.slots) for rank, part in enumerate(study.parts)),
        seed=0,
        count=1,
    )


def arrangement_of(study: Study) -> Arrangement:
    """The reference's notes on its grid."""
    return Arrangement(study.loop.notes)


def _part_plan(part: PartStudy, rank: int, fallback: Instrument, slots: int) -> PartPlan:
    return PartPlan(
        name=part.name,
        role=part.role,
        instrument=part.instrument or fallback,
        low=part.low,
        high=part.high,
        notes_per_bar=part.rhythm.per_bar,
        repeat_every=part.repeat.every if part.repeat else None,
        vary_notes=(0, 0),
        figure=part.figure,
        motion=part.motion,
        texture=part.texture,
        max_leap=part.moves.largest,
        longest=slots,
        rank=rank,
    )
