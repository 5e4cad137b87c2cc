"""What roles mean by default, in numbers. The numbers are settings of our own, with no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.brief.roles import (
    LEAST_RANGE,
    ROLES,
    default_notes_per_bar,
    default_range,
    default_texture,
    longest_slots,
)
from solver.music.instruments import Instrument, load_instruments, tuned
from solver.music.metre import parse_metre

GUITAR_LOW = 40  # E2


@pytest.fixture(scope="module")
def instruments() -> dict[str, Instrument]:
    return load_instruments()


@pytest.mark.parametrize(
    ("role", "meter", "expected"),
    [
        ("lead", "4/4", (3, 5)),
        ("low", "4/4", (1, 3)),
        ("background", "4/4", (1, 3)),
        ("counter", "4/4", (1, 4)),
        ("chords", "4/4", (1, 3)),
        ("lead", "3/4", (2, 4)),
        ("lead", "6/8", (2, 4)),
        ("lead", "7/8", (3, 4)),
        ("lead", "5/4", (4, 6)),
        ("lead", "2/4", (2, 3)),
        ("lead", "12/8", (5, 8)),
        ("low", "2/4", (1, 2)),
        ("background", "3/4", (1, 2)),
    ],
)
def test_notes_per_bar_follow_the_length_of_the_bar(role: str, meter: str, expected: tuple[int, int]) -> None:
    assert default_notes_per_bar(ROLES[role], "few notes", parse_metre(meter)) == expected


def test_a_broken_chord_has_more_notes_in_every_role() -> None:
    for role in ROLES.values():
        assert default_notes_per_bar(role, "broken chord", parse_metre("4/4")) == (4, 8)
        assert default_notes_per_bar(role, "broken chord", parse_metre("3/4")) == (3, 6)


def test_never_more_notes_than_slots() -> None:
    assert default_notes_per_bar(ROLES["lead"], "few notes", parse_metre("4/4", 4)) == (3, 4)
    assert default_notes_per_bar(ROLES["lead"], "broken chord", parse_metre("2/4", 2)) == (2, 2)


@pytest.mark.parametrize(
    ("role", "above"),
    [("low", (0, 17)), ("background", (12, 26)), ("counter", (15, 31)), ("lead", (22, 38)), ("chords", (5, 29))],
)
def test_ranges_on_a_guitar(role: str, above: tuple[int, int], instruments: dict[str, Instrument]) -> None:
    guitar = instruments["electric guitar"]
    expected = (GUITAR_LOW + above[0], GUITAR_LOW + above[1])
    assert default_range(ROLES[role], "few notes", guitar, alone=False) == expected


def test_ranges_of_a_lead_alone_and_of_a_lead_in_broken_chords(instruments: dict[str, Instrument]) -> None:
    guitar = instruments["electric guitar"]
    assert default_range(ROLES["lead"], "few notes", guitar, alone=True) == (GUITAR_LOW + 12, GUITAR_LOW + 36)
    assert default_range(ROLES["lead"], "broken chord", guitar, alone=False) == (GUITAR_LOW + 8, GUITAR_LOW + 32)
    assert default_range(ROLES["counter"], "broken chord", guitar, alone=False) == (GUITAR_LOW + 15, GUITAR_LOW + 31)


def test_every_role_has_an_octave_or_more_on_every_instrument(instruments: dict[str, Instrument]) -> None:
    short = replace(instruments["bass guitar"], frets=8)
    capo = tuned(instruments["nylon guitar"], None, 12)
    for instrument in (*instruments.values(), short, capo):
        for role in ROLES.values():
            low, high = default_range(role, "few notes", instrument, alone=False)
            assert instrument.low <= low <= high - LEAST_RANGE
            assert high <= instrument.high


def test_a_neck_of_less_than_an_octave_is_used_whole(instruments: dict[str, Instrument]) -> None:
    tiny = replace(instruments["bass guitar"], tuning=(40, 41, 42), frets=8)
    assert default_range(ROLES["lead"], "few notes", tiny, alone=False) == (40, 50)


def test_longest_notes(instruments: dict[str, Instrument]) -> None:
    guitar, muted = instruments["electric guitar"], instruments["muted electric guitar"]
    assert muted.ring == 1.0
    four, six = parse_metre("4/4"), parse_metre("6/8")
    assert longest_slots(ROLES["lead"], guitar, four) == 8
    assert longest_slots(ROLES["low"], guitar, four) == 16
    assert longest_slots(ROLES["low"], guitar, six) == 16
    assert longest_slots(ROLES["lead"], muted, four) == 4
    assert longest_slots(ROLES["lead"], muted, parse_metre("6/8", 6)) == 2
    assert longest_slots(ROLES["lead"], replace(muted, ring=0.1), four) == 1


def test_textures() -> None:
    assert default_texture(ROLES["chords"], "few notes") == "chords"
    assert default_texture(ROLES["chords"], "broken chord") == "single"
    assert {default_texture(role, "few notes") for role in ROLES.values() if role.name != "chords"} == {"single"}


def test_leaps_and_order() -> None:
    assert {role.name: role.max_leap for role in ROLES.values()} == {
        "lead": 12,
        "low": 12,
        "counter": 9,
        "background": 7,
        "chords": 7,
    }
    assert sorted(ROLES, key=lambda name: ROLES[name].order) == ["lead", "counter", "background", "chords", "low"]
