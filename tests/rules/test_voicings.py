"""Every struck chord can be held."""

from __future__ import annotations

import pytest

from solver.rules.voicings import RULE, voicing_states
from tests.rules.small import found, plan_of

CHORDS = plan_of(chords="")
DYADS = plan_of('chords = ["Cadd9"]', lead='texture = "dyads"')


@pytest.mark.parametrize("stroke", ["C3+E3+G3", "C3+E3+G3+C4", "G3+C4+E4", "E3+G3+C4+E4"])
def test_chords_in_the_open_position(stroke: str) -> None:
    assert found(RULE, CHORDS, chords=f". {stroke}") == []


@pytest.mark.parametrize(
    "stroke",
    [
        "C4+E4",  # two notes
        "C3+E3+G3+C4+E4",  # five notes
        "C4+E4+A4",  # no tone of the chord
        "C4+E4+C5",  # two different tones
        "E2+G2+C3",  # E2 and G2 lie on the lowest string both
        "G2+E4+G4",  # within a hand only where strings lie between
        "C3+G4+E5",  # wider than a hand
    ],
)
def test_what_is_no_chord_for_a_hand(stroke: str) -> None:
    assert found(RULE, CHORDS, chords=f". {stroke}") == [("chords", 8)]


def test_a_power_chord_has_two_tones() -> None:
    assert found(RULE, plan_of('chords = ["C5"]', chords=""), chords="C3+G3+C4") == []


@pytest.mark.parametrize("stroke", ["C4+E4", "E4+D5", "C4+C5", "E4+G4"])
def test_dyads(stroke: str) -> None:
    assert found(RULE, DYADS, lead=f"{stroke} .") == []


@pytest.mark.parametrize(
    "stroke",
    [
        "C4+D4",  # a second
        "C4+D5",  # more than an octave
        "C4",
        "C4+E4+G4",
        "E4+A4",  # no tone of the chord
    ],
)
def test_what_is_no_dyad(stroke: str) -> None:
    assert found(RULE, DYADS, lead=f"{stroke} .") == [("lead", 0)]


def test_the_rule_is_told_of_each_chord() -> None:
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', chords="")
    assert found(RULE, plan, chords="C4+E4+G4 | C4+F4+A4") == []
    assert found(RULE, plan, chords="C4+E4+G4 | C4+E4+G4") == [("chords", 16)]


@pytest.mark.parametrize(("texture", "size"), [("dyads", {2}), ("chords", {3, 4})])
def test_states_are_what_the_plain_half_accepts(texture: str, size: set[int]) -> None:
    plan = plan_of('chords = ["C7"]', lead=f'texture = "{texture}"; range = "C3..C5"')
    part = plan.part("lead")
    states = voicing_states(part.instrument, plan.spans[0].chord, part.low, part.high, part.texture)
    assert {len(state.pitches) for state in states} == size
    assert len({state.pitches for state in states}) == len(states)
    for state in states:
        places = dict(zip(state.pitches, state.places or (), strict=True))
        tuning = part.instrument.tuning
        assert all(tuning[-string] + fret == pitch for pitch, (string, fret) in places.items())
        fretted = [fret for _, fret in places.values() if fret]
        assert not fretted or max(fretted) - min(fretted) < part.instrument.chord_span
        assert len({string for string, _ in places.values()}) == len(places)
