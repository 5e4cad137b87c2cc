"""Where parts stand."""

from __future__ import annotations

import pytest

from solver.export.sound.placement import Place, places_of
from tests.export.sample_plans import TEXTS, sample_plan


@pytest.mark.parametrize("side", [-1.0, -0.3, 0.0, 0.5, 1.0])
def test_power_is_the_same_on_every_side(side: float) -> None:
    left, right = Place(1.0, side, 0.1).sides
    assert left**2 + right**2 == pytest.approx(2)
    assert (left > right + 1e-9) == (side < 0)
    assert (right > left + 1e-9) == (side > 0)


@pytest.mark.parametrize("name", TEXTS)
def test_every_part_has_a_gentle_place(name: str) -> None:
    plan = sample_plan(name)
    places = places_of(plan)
    assert sorted(places) == sorted(part.name for part in plan.parts)
    for part in plan.parts:
        place = places[part.name]
        assert abs(place.side) <= 0.5
        assert 0.5 < place.gain <= 1
        assert 0 < place.wet < 0.3
        if part.role in ("lead", "low"):
            assert abs(place.side) < 0.15
