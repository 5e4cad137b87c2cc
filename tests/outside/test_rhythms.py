"""Measures of rhythm against published values.

Gómez, Melvin, Rappaport and Toussaint 2005, "Mathematical measures of syncopation" (Fig. 8 and 11) and Toussaint 2013,
"The Geometry of Musical Rhythm" (Fig. 17.13), both as the public library AMADS asserts them in its
tests/test_meter_profiles.py "exactly as reported in named figures"; the publications themselves were not opened. The
book prints its rows in the order shiko, son, soukous, rumba, gahu, bossa-nova.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from solver.merits.syncopation import TARGET, measure_rhythm
from solver.rhythm.measures import note_to_beat_distance, npvi
from tests.outside.test_metrical_weights import SIX_RHYTHMS, onsets
from tests.rules.small import plan_of

# Name: weighted note-to-beat distance (2005, Fig. 8), nPVI (2013, Fig. 17.13).
PUBLISHED = {
    "shiko": (Fraction(6, 5), 66.7),
    "son": (Fraction(14, 5), 40.5),
    "rumba": (Fraction(18, 5), 41.0),
    "soukous": (Fraction(18, 5), 70.5),
    "gahu": (Fraction(18, 5), 23.8),
    "bossa-nova": (Fraction(4), 14.3),
}

# Rhythms of seven onsets in twelve slots, four beats of three: weighted note-to-beat distance (2005, Fig. 11).
SEVEN_IN_TWELVE = {
    "soli": ("x.x.x.x.xx.x", Fraction(15, 7)),
    "tambú": ("x.x.x.xx.x.x", Fraction(15, 7)),
    "bembé": ("x.x.xx.x.x.x", Fraction(3)),
    "bembé-2": ("xx.x.xx.x.x.", Fraction(15, 7)),
    "yoruba": ("x.x.xx.x.xx.", Fraction(3)),
    "tonada": ("x.xx.xx.x.x.", Fraction(15, 7)),
    "asaadua": ("x.x.x.xx.xx.", Fraction(15, 7)),
    "sorsonet": ("xxx.x.x.x.x.", Fraction(3)),
    "bemba": ("x.xx.x.x.xx.", Fraction(15, 7)),
    "ashanti": ("x.xx.x.xx.x.", Fraction(3)),
}


def test_all_six_rhythms_have_values() -> None:
    assert set(PUBLISHED) == set(SIX_RHYTHMS)


@pytest.mark.parametrize("name", PUBLISHED)
def test_weighted_note_to_beat_distance(name: str) -> None:
    """In soukous a note is held to the second beat exactly; it counts once, or the value would be 22/5."""
    assert note_to_beat_distance(onsets(SIX_RHYTHMS[name][0]), 16, 4) == PUBLISHED[name][0]


@pytest.mark.parametrize(("pattern", "distance"), SEVEN_IN_TWELVE.values(), ids=list(SEVEN_IN_TWELVE))
def test_weighted_note_to_beat_distance_of_twelve_slots(pattern: str, distance: Fraction) -> None:
    assert note_to_beat_distance(onsets(pattern), 12, 3) == distance


@pytest.mark.parametrize("name", PUBLISHED)
def test_pairwise_variability(name: str) -> None:
    """Not cyclic: four pairs of five intervals; the cyclic value of son would be 38.1."""
    assert round(npvi(onsets(SIX_RHYTHMS[name][0]), 16), 1) == PUBLISHED[name][1]


@pytest.mark.parametrize(("pattern", "syncopation"), SIX_RHYTHMS.values(), ids=list(SIX_RHYTHMS))
@pytest.mark.parametrize("role", list(TARGET))
def test_the_merit_counts_syncopation_after_longuet_higgins_and_lee(role: str, pattern: str, syncopation: int) -> None:
    """The merit is what the syncopation is away from the role's target, here over one bar (values as in that table)."""
    plan = plan_of(only=f'role = "{role}"')
    assert measure_rhythm(plan, {"only": tuple(onsets(pattern))}) == -abs(syncopation - TARGET[role])
