"""For every merit two small pieces of music, of which it has to like the first more.

What a merit counts may be tuned; which of two plain cases is better does not change with it.
"""

from __future__ import annotations

import pytest

from solver.brief.plan import Plan
from solver.merits import (
    bass_walks,
    blend,
    chords_spelled,
    contrary_motion,
    every_merit,
    few_pitches,
    gaps_filled,
    halves_alike,
    leaps_turn_back,
    low_intervals,
    motif_returns,
    seam,
    small_moves,
    smoothness,
    strong_harmony,
    syncopation,
)
from solver.merits.merit import Merit
from tests.rules.small import heard, plan_of

LEAD = plan_of(lead="")
LEAD_IN_TWO_BARS = plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2")
LOW = plan_of("bars = 2; chord_bars = 2", low="")
PAIR = plan_of(lead="", low="")
CASES: list[tuple[Merit, Plan, dict[str, str], dict[str, str]]] = [
    (small_moves.MERIT, LEAD, {"lead": "C5 D5 E5 D5"}, {"lead": "C5 G5 C5 A5"}),
    (leaps_turn_back.MERIT, LEAD, {"lead": "C5 G5 E5 D5"}, {"lead": "C5 G5 A5 F5"}),
    (few_pitches.MERIT, LEAD, {"lead": "C5 E5 G5 E5 C5 G5 E5 G5"}, {"lead": "C5 E5 G5 A5 C5 D5 E5 G5"}),
    (chords_spelled.MERIT, LEAD, {"lead": "C5 E5 G5 E5"}, {"lead": "C5 E5 C5 E5"}),
    (
        motif_returns.MERIT,
        LEAD_IN_TWO_BARS,
        {"lead": "C5 D5 E5 C5 | D5 E5 F5 D5"},
        {"lead": "C5 D5 E5 C5 | F5 E5 D5 F5"},
    ),
    (
        halves_alike.MERIT,
        LEAD_IN_TWO_BARS,
        {"lead": "C5 D5 E5 C5 | C5 E5 G5 E5"},
        {"lead": "C5 D5 E5 C5 | D5 E5 G5 E5"},
    ),
    (bass_walks.MERIT, LOW, {"low": "C3 D3 E3 D3 | E3 F3 G3 F3"}, {"low": "C3 C3 G3 C3 | C3 C3 G3 C3"}),
    (bass_walks.MERIT, LOW, {"low": "C3 - D3 E3 | C3 G3 E3 -"}, {"low": "C3 D3 - E3 | C3 G3 E3 -"}),
    (contrary_motion.MERIT, PAIR, {"lead": "E5 . C5 .", "low": "C3 . E3 ."}, {"lead": "C5 . E5 .", "low": "C3 . E3 ."}),
    (strong_harmony.MERIT, PAIR, {"lead": "C5 D5 E5 D5", "low": "C3"}, {"lead": "D5 C5 D5 E5", "low": "D3"}),
    (smoothness.MERIT, PAIR, {"lead": "C5 . G4 .", "low": "C4 . C4 ."}, {"lead": "D4 . B4 .", "low": "C4 . C4 ."}),
    (low_intervals.MERIT, PAIR, {"lead": "E4 . G4 .", "low": "C3 . G3 ."}, {"lead": "G2 . A2 .", "low": "E2 . F2 ."}),
    (blend.MERIT, PAIR, {"lead": "C4 . G4 .", "low": "C3 . C4 ."}, {"lead": "D5 . . B5", "low": "C3 . C3 ."}),
    (gaps_filled.MERIT, PAIR, {"lead": "C5 . E5 .", "low": "C3 G3 E3 G3"}, {"lead": "C5 . E5 .", "low": "C3 . E3 ."}),
    (syncopation.MERIT, LEAD, {"lead": "C5 . . E5 . . G5 ."}, {"lead": "C5 . E5 . G5 . E5 ."}),
    (seam.MERIT, LEAD, {"lead": "C5 E5 G5 D5"}, {"lead": "C5 E5 G5 C6"}),
]


@pytest.mark.parametrize(("merit", "plan", "better", "worse"), CASES, ids=[case[0].name for case in CASES])
def test_better_and_worse(merit: Merit, plan: Plan, better: dict[str, str], worse: dict[str, str]) -> None:
    assert merit.applies(plan)
    assert merit.measure(heard(plan, **better)) > merit.measure(heard(plan, **worse))


def test_every_merit_has_a_case() -> None:
    assert {merit.name for merit, *_ in CASES} == {merit.name for merit in every_merit()}


def test_moves_that_come_back_are_told_of_those_that_could() -> None:
    said = motif_returns.MERIT.sentence(heard(LEAD_IN_TWO_BARS, lead="C5 D5 E5 C5 | F5 E5 D5 F5"))
    assert said.startswith("0 of 3 moves of the lead that could come back ")
    apart = heard(
        plan_of("bars = 3; chord_bars = 3", lead="repeat_every = 3"), lead="C5 D5 E5 C5 | D5 E5 F5 D5 | E5 . . G5"
    )
    assert motif_returns.MERIT.sentence(apart).startswith("3 of 4 moves of the lead that could come back ")
