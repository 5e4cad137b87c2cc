"""The key: profiles as data, scores, candidates, modes."""

from __future__ import annotations

import numpy
import pytest

from solver.music.scales import parse_key
from solver.study.harmony import harmony_of
from solver.study.key import MODES, correlations, durations, key_of, mode_values
from solver.study.profiles import PROFILES
from tests.study.loops_in_text import Events, chord_bars, loop, repeated

SUMS = {"probe tones": (41.79, 44.51), "counted pieces": (1.0, 1.0)}


def names(bars: int, **parts: Events) -> list[str]:
    made = loop(bars, **parts)
    return [key.name for key in key_of(made, harmony_of(made)).candidates]


def test_profiles_have_twelve_values_and_a_source() -> None:
    assert len({profile.name for profile in PROFILES}) == len(PROFILES) == 7
    for profile in PROFILES:
        assert len(profile.major) == len(profile.minor) == 12
        assert any(digit.isdigit() for digit in profile.source) or "documentation" in profile.source
        assert max(profile.major) in (profile.major[0], profile.major[7], profile.major[4])


def test_durations_count_what_sounds_in_quarters() -> None:
    weights = durations(loop(1, line=[(0, 8, 60), (8, 4, 62)], low=[(0, 16, 48)]))
    assert weights.tolist() == [6, 0, 1] + [0] * 9


def test_a_profile_correlates_with_itself_on_its_own_tonic() -> None:
    profile = PROFILES[0]
    turned = numpy.roll(numpy.array(profile.major), 5)
    found = correlations(turned, profile.major)
    assert int(found.argmax()) == 5
    assert found[5] == pytest.approx(1)


def test_equal_weights_say_nothing() -> None:
    assert correlations(numpy.ones(12), PROFILES[0].major).tolist() == [0] * 12


def test_modes_exchange_two_degrees() -> None:
    for mode, (family, exchanged) in MODES.items():
        plain = parse_key(f"C {family}").pcs
        assert parse_key(f"C {mode}").pcs == (plain if exchanged is None else plain - {exchanged[1]} | {exchanged[0]})
        values = mode_values(PROFILES[4], mode)
        assert sorted(values) == sorted(PROFILES[4].major if family == "major" else PROFILES[4].minor)


@pytest.mark.parametrize(
    ("chords", "key"),
    [
        (((57, 60, 64), (53, 57, 60), (60, 64, 67), (55, 59, 62)), "A minor"),
        (((60, 64, 67), (55, 59, 62), (57, 60, 64), (53, 57, 60)), "C major"),
        (((57, 60, 64), (52, 56, 59), (57, 60, 64), (52, 56, 59, 62)), "A minor"),
        (((62, 65, 69), (55, 59, 62), (62, 65, 69), (55, 59, 62)), "D dorian"),
        (((55, 59, 62), (53, 57, 60), (60, 64, 67), (55, 59, 62)), "G mixolydian"),
        (((64, 67, 71), (65, 69, 72), (64, 67, 71), (62, 65, 69)), "E phrygian"),
    ],
)
def test_keys_of_chord_loops(chords: tuple[tuple[int, ...], ...], key: str) -> None:
    assert key in names(8, strum=chord_bars(*chords, *chords))[:2]


def test_a_raised_seventh_of_its_own_makes_the_minor_harmonic() -> None:
    scale = [(2 * i, 2, pitch) for i, pitch in enumerate((69, 71, 72, 74, 76, 77, 80, 81))]
    assert names(4, line=repeated(scale, 4, 16), low=repeated([(0, 16, 45)], 4, 16))[0] == "A harmonic minor"


def test_two_chords_leave_the_key_open_and_it_is_said() -> None:
    made = loop(8, strum=chord_bars(*((62, 65, 69), (55, 59, 62)) * 4))
    finding = key_of(made, harmony_of(made))
    assert not finding.certain
    assert len(finding.candidates) > 2
    assert list(finding.scores[:3]) == sorted(finding.scores[:3], reverse=True)


@pytest.mark.parametrize("up", range(12))
def test_the_same_music_higher_is_in_a_higher_key(up: int) -> None:
    chords = [
        tuple(pitch + up for pitch in chord) for chord in ((57, 60, 64), (53, 57, 60), (60, 64, 67), (52, 56, 59))
    ]
    made = loop(8, strum=chord_bars(*chords, *chords))
    key = key_of(made, harmony_of(made)).key
    assert (key.tonic.pc, key.mode) == ((9 + up) % 12, "minor")
    assert abs(key.signature) <= 6
