"""Low interval limits of shared/low_limits.toml."""

from __future__ import annotations

import pytest

from solver.music.low_limits import load_low_limits, shortfall
from solver.music.pitch import parse_note

# Lowest bottom note by interval (semitones: MIDI). Two independent public code bases agree on every entry they share:
# a general library of music theory that credits Lindsay, "Jazz Arranging Techniques" (the page from memory), and a
# teaching tool (minor second to major seventh). Lowell and Pullig, "Arranging for Large Jazz Ensemble", list the same
# intervals and call unison and octave unlimited. Other tables differ by one to three semitones.
LIMITS = {1: 52, 2: 51, 3: 48, 4: 46, 5: 46, 6: 46, 7: 34, 8: 43, 9: 41, 10: 41, 11: 41, 13: 40, 14: 39, 15: 36, 16: 34}


def test_the_table() -> None:
    assert load_low_limits() == LIMITS


@pytest.mark.parametrize(
    ("lower", "upper", "keeps"),
    [
        ("C2", "E2", False),  # the major third wants Bb2
        ("C2", "G2", True),
        ("C2", "C3", True),  # the octave has no limit
        ("C3", "Eb3", True),  # just kept
        ("B2", "D3", False),
    ],
)
def test_pairs(lower: str, upper: str, keeps: bool) -> None:
    """Worked from the table above."""
    assert (shortfall(parse_note(lower), parse_note(upper), load_low_limits()) == 0) == keeps
