"""Velocities: weight, role, place in the chord."""

from __future__ import annotations

import pytest

from solver.arrangement import Arrangement, Note
from solver.export.velocity import velocities
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan


@pytest.mark.parametrize("name", TEXTS)
def test_every_note_has_one_and_no_part_is_flat(name: str) -> None:
    plan = sample_plan(name)
    arrangement = sample_arrangement(plan)
    struck = velocities(plan, arrangement)
    assert set(struck) == set(arrangement.notes)
    assert all(40 <= velocity <= 110 for velocity in struck.values())
    for part in plan.parts:
        assert len({struck[note] for note in arrangement.part(part.name)}) > 1


def test_a_bar_start_is_stronger_than_a_beat_and_a_beat_than_an_offbeat() -> None:
    plan = sample_plan("ferry-lights")
    notes = [Note("lead", slot, 1, 71) for slot in (0, 8, 4, 2, 1)]
    struck = velocities(plan, Arrangement(tuple(notes)))
    assert [struck[note] for note in notes] == sorted((struck[note] for note in notes), reverse=True)
    assert len({struck[note] for note in notes}) == 5


def test_one_note_a_bar_is_not_flat_either() -> None:
    plan = sample_plan("ferry-lights")
    notes = [Note("low", 16 * bar, 16, 47) for bar in range(8)]
    struck = velocities(plan, Arrangement(tuple(notes)))
    assert struck[notes[0]] > struck[notes[4]] > struck[notes[2]] > struck[notes[1]]


def test_the_background_is_softer_than_the_lead_in_the_same_slot() -> None:
    plan = sample_plan("ferry-lights")
    lead, middle = Note("lead", 0, 2, 71), Note("middle", 0, 2, 59)
    struck = velocities(plan, Arrangement((lead, middle)))
    assert struck[middle] < struck[lead]


def test_the_inner_notes_of_a_chord_are_softer_than_its_outer_ones() -> None:
    plan = sample_plan("night-ferry")
    chord = [Note("strum", 0, 4, pitch) for pitch in (53, 56, 60, 63)]
    struck = velocities(plan, Arrangement(tuple(chord)))
    low, *inner, high = [struck[note] for note in chord]
    assert low == high
    assert all(velocity < low for velocity in inner)
