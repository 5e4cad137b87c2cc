"""Metrical weights and syncopation after Longuet-Higgins and Lee 1984, Music Perception 1(4) 424-441."""

from __future__ import annotations

import pytest

from solver.music.metre import longuet_higgins_lee, parse_metre

# The tree for sixteen slots, as the public implementation SynPy has it (LHL.py, weights 0, -1, -2, … by level).
WEIGHTS_4_4 = (0, -4, -3, -4, -2, -4, -3, -4, -1, -4, -3, -4, -2, -4, -3, -4)

# The six rhythms of Gómez, Melvin, Rappaport and Toussaint 2005 (strings as AMADS time/meter/profiles.py cites them).
# Syncopation in the variant "one value a note, the largest": recomputed from the definition, as no published table
# could be reached; the variant "one a rest" differs for rumba alone (6).
SIX_RHYTHMS = {
    "shiko": ("x...x.x...x.x...", 2),
    "son": ("x..x..x...x.x...", 4),
    "rumba": ("x..x...x..x.x...", 5),
    "soukous": ("x..x..x...xx....", 6),
    "gahu": ("x..x..x...x...x.", 5),
    "bossa-nova": ("x..x..x...x..x..", 6),
}


def onsets(pattern: str) -> list[int]:
    """Slots with a note."""
    return [slot for slot, sign in enumerate(pattern) if sign == "x"]


def test_weights_of_sixteen_slots() -> None:
    assert parse_metre("4/4").weights == WEIGHTS_4_4


@pytest.mark.parametrize(("pattern", "syncopation"), SIX_RHYTHMS.values(), ids=list(SIX_RHYTHMS))
def test_syncopation_of_the_six_rhythms(pattern: str, syncopation: int) -> None:
    assert longuet_higgins_lee(onsets(pattern), parse_metre("4/4")) == syncopation


def test_the_example_of_a_public_implementation() -> None:
    """SynPy's documentation: the bar 1 0 0 1 0 1 1 0 in 2/4 has the syncopation 2."""
    assert longuet_higgins_lee([0, 3, 5, 6], parse_metre("2/4")) == 2
