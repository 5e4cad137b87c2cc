"""The room: round the loop, linear, always the same. Its decay time is tested in tests/outside."""

from __future__ import annotations

import numpy as np
import pytest

from solver.export.sound.reverb import Room, response

RATE = 44_100


@pytest.mark.parametrize("samples", [5_000, 60_001, 120_000])
def test_the_tail_is_added_onto_the_start(samples: int) -> None:
    click = np.zeros(samples, dtype=np.float32)
    click[samples - 100] = 1
    expected = np.zeros((samples, 2))
    room = response(RATE)
    for at in range(0, len(room), samples):
        piece = room[at : at + samples]
        expected[: len(piece)] += piece
    expected = np.roll(expected, samples - 100, axis=0)
    assert np.abs(Room(samples, RATE).wet(click) - expected).max() < 1e-5


def test_both_sides_differ_and_have_the_same_energy() -> None:
    room = response(RATE)
    assert np.sum(room**2, axis=0) == pytest.approx([1, 1])
    assert abs(np.vdot(room[:, 0], room[:, 1])) < 0.1
    assert np.abs(room.mean(axis=0)).max() < 1e-5


def test_it_begins_after_a_short_silence() -> None:
    room = response(RATE)
    assert not room[: int(0.012 * RATE)].any()
    assert room[int(0.012 * RATE) :].any()


def test_it_is_always_the_same_room() -> None:
    assert np.array_equal(response(RATE), response(RATE))
