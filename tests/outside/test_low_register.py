"""The merit on the low register against the published low interval limits (see test_low_interval_limits)."""

from __future__ import annotations

import pytest

from solver.merits.low_intervals import MERIT
from solver.music.pitch import note_name
from tests.outside.test_low_interval_limits import LIMITS
from tests.rules.small import heard, plan_of


def loss(lower: str, upper: str) -> int:
    """What the merit takes off for two notes that two parts start on a bar's first beat."""
    return -MERIT.measure(heard(plan_of(lead="", low=""), lead=f"{upper} . . .", low=f"{lower} . . ."))


@pytest.mark.parametrize(("interval", "limit"), LIMITS.items())
def test_each_limit_is_kept_by_its_own_note_and_broken_by_the_one_below(interval: int, limit: int) -> None:
    assert loss(note_name(limit), note_name(limit + interval)) == 0
    assert loss(note_name(limit + 1), note_name(limit + 1 + interval)) == 0
    assert loss(note_name(limit - 1), note_name(limit - 1 + interval)) > 0
    assert loss(note_name(limit - 1), note_name(limit - 1 + interval)) < loss(
        note_name(limit - 4), note_name(limit - 4 + interval)
    )


@pytest.mark.parametrize(
    ("lower", "upper", "kept"),
    [("C2", "E2", False), ("C2", "G2", True), ("C2", "C3", True), ("C3", "Eb3", True), ("B2", "D3", False)],
)
def test_pairs(lower: str, upper: str, kept: bool) -> None:
    """Worked from the table: the major third wants Bb2, the fifth Bb1, the octave nothing, the minor third C3."""
    assert (loss(lower, upper) == 0) == kept


@pytest.mark.parametrize("lowest", ["B0", "E1", "C2"])
def test_octaves_have_no_limit(lowest: str) -> None:
    """Lowell and Pullig, "Arranging for Large Jazz Ensemble": unison and octave are unlimited."""
    upper = {"B0": "B1", "E1": "E2", "C2": "C3"}[lowest]
    assert loss(lowest, upper) == 0
