"""Sensory roughness against published values and orders."""

from __future__ import annotations

from math import log

import pytest

from solver.study.roughness import dissonance, roughness


def in_pairs(roughness: float) -> float:
    """In units of the roughness of two equal partials at 440 and 460 Hz."""
    return roughness / dissonance([440, 460], [1, 1])


def test_two_partials() -> None:
    """Recomputed from the formula of Sethares 1993 (JASA 94(3) 1218-1228) with the minimum of the amplitudes."""
    assert dissonance([440, 460], [1, 1]) == pytest.approx(0.8730303152, abs=1e-10)


@pytest.mark.parametrize(
    ("frequencies", "amplitudes", "ratio"),
    [
        ([440, 460, 480], [1, 1, 1], 2.9194),
        ([440, 460, 480], [1, 2, 3], 3.9161),
        ([440, 460, 480], [3, 2, 1], 3.9194),
        ([300, 250, 275, 425], [1.5, 2, 9, 4], 4.8657),
    ],
)
def test_several_partials(frequencies: list[float], amplitudes: list[float], ratio: float) -> None:
    """Regression values of the public package dycon (tests/testthat/test-sethares.R), in units of the pair above."""
    assert in_pairs(dissonance(frequencies, amplitudes)) == pytest.approx(ratio, abs=5e-5)


@pytest.mark.parametrize(("low", "apart"), [(100, 19.31), (220, 21.59), (440, 25.77), (1000, 36.41)])
def test_where_two_partials_are_roughest(low: float, apart: float) -> None:
    """The maximum of the formula lies at ln(5.75 / 3.51) / (5.75 - 3.51) (recomputed)."""
    scale = 0.24 / (0.0207 * low + 18.96)
    assert log(5.75 / 3.51) / (5.75 - 3.51) / scale == pytest.approx(apart, abs=0.005)
    peak = dissonance([low, low + apart], [1, 1])
    assert all(dissonance([low, low + apart * factor], [1, 1]) < peak for factor in (0.9, 0.95, 1.05, 1.1))


def test_the_order_of_partials_does_not_matter() -> None:
    assert dissonance([460, 440], [2, 1]) == dissonance([440, 460], [1, 2])


# Mean ratings, from the most consonant, of Bowling, Purves and Gill 2018 as the public package incon has them
# (inst/bowling-data/dyads.csv; the journal from memory): octave 3.893, fifth 3.447, … minor second 1.317. The model
# does not reproduce the whole order; that octave and fifth come first and the minor second last, it does.
def test_octave_and_fifth_are_smoothest_and_the_minor_second_is_roughest() -> None:
    on_middle_c = {interval: roughness(60, 60 + interval) for interval in range(1, 13)}
    octave, fifth, *others = sorted(on_middle_c, key=lambda interval: on_middle_c[interval])
    assert (octave, fifth, others[-1]) == (12, 7, 1)
    assert on_middle_c[12] < on_middle_c[7] < min(on_middle_c[other] for other in others)
    assert on_middle_c[1] == 100


def test_low_intervals_are_rougher() -> None:
    """On C2 even a fifth is rougher than on C4 (recomputed: 5.64 and 0.69 in the model's own unit, eight times)."""
    assert roughness(36, 43) > 5 * roughness(60, 67)
    assert all(roughness(36, 36 + interval) > roughness(60, 60 + interval) for interval in range(2, 12))
