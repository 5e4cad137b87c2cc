"""Strings and frets: the shortest path is the shortest, what is given is kept, and a hand can play it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Note
from solver.brief.plan import BROKEN, PartPlan, Plan
from solver.export.fingering import AWAY, CROSSING, HEIGHT, NEAR, STRETCH, TRAVEL, UNIT, fingering
from solver.music.fretboard import assign_strings, pitch_at, places, positions
from solver.music.instruments import load_instruments
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

INSTRUMENTS = load_instruments()
SHAPES = [(48, 52, 55), (45, 52, 57, 60), (50, 57, 62, 66), (43, 47, 50, 55), (53, 57, 60, 65)]


def plan_and_part(instrument: str = "electric guitar", **changes: object) -> tuple[Plan, PartPlan]:
    plan = replace(sample_plan("one-rope"), bars=64)
    part = replace(plan.parts[0], repeat_every=None, instrument=INSTRUMENTS[instrument], **changes)
    return plan, part


def line(*pitches: int) -> list[Note]:
    return [Note("lead", 2 * index, 2, pitch) for index, pitch in enumerate(pitches)]


def from_nut(fret: int) -> float:
    """mm on a string of 648 mm: in equal temperament each fret leaves 2^(-1/12) of the string."""
    return 648 - 648 / 2 ** (fret / 12)


def least_cost(part: PartPlan, pitches: tuple[int, ...]) -> int:
    """The least cost of a closed line by trying every place and position of every note."""
    instrument = part.instrument
    ways = [
        [
            (string, fret, position)
            for string, fret in places(pitch, instrument)
            for position in positions(instrument)
            if fret == 0 or position <= fret < position + instrument.hand_span
        ]
        for pitch in pitches
    ]
    best = None
    for choice in product(*ways):
        cost = 0
        for (string, fret, position), (last_string, _, last_position) in zip(
            choice, (choice[-1], *choice[:-1]), strict=True
        ):
            stretch = max(0.0, from_nut(fret) - from_nut(position + 3))
            away = max(0.0, from_nut(position) - from_nut(NEAR)) if fret == 0 else 0.0
            cost += round(UNIT * (STRETCH * stretch + HEIGHT * from_nut(position) + AWAY * away))
            travel = abs(from_nut(position) - from_nut(last_position))
            cost += round(UNIT * (TRAVEL * travel + CROSSING * abs(string - last_string)))
        best = cost if best is None else min(best, cost)
    assert best is not None
    return best


@given(st.lists(st.integers(28, 60), min_size=1, max_size=3))
@settings(max_examples=25, deadline=None)
def test_no_way_to_play_a_short_line_costs_less(pitches: list[int]) -> None:
    plan, part = plan_and_part("bass guitar")
    found = fingering(plan, part, line(*pitches))
    assert found.cost == pytest.approx(least_cost(part, tuple(pitches)), abs=len(pitches))  # a unit of rounding a note


@given(st.lists(st.tuples(st.integers(0, 900), st.integers(30, 90)), max_size=40))
@settings(max_examples=40, deadline=None)
def test_every_note_lies_where_its_pitch_is_or_is_told(notes: list[tuple[int, int]]) -> None:
    plan, part = plan_and_part()
    made = [Note("lead", onset, 1, pitch) for onset, pitch in sorted(set(notes))]
    found = fingering(plan, part, made)
    for note in made:
        place = found.places.get(note)
        assert place is None or pitch_at(place, part.instrument) == note.pitch
        assert place is not None or note in found.unplayable
    taken = [(note.onset, string) for note, (string, _) in found.places.items()]
    assert len(set(taken)) == len(taken)


# Scales as beginners' books have them (common practice, no source): C major at the nut, A minor pentatonic at fret 5.
def test_a_scale_at_the_nut_uses_the_open_strings() -> None:
    plan, part = plan_and_part("acoustic guitar")
    notes = line(48, 50, 52, 53, 55, 57, 59, 60)
    found = fingering(plan, part, notes)
    assert [found.places[note] for note in notes] == [(5, 3), (4, 0), (4, 2), (4, 3), (3, 0), (3, 2), (2, 0), (2, 1)]


def test_a_wide_scale_stays_under_one_hand() -> None:
    plan, part = plan_and_part()
    notes = line(45, 48, 50, 52, 55, 57, 60, 62, 64, 67, 69, 72)
    found = fingering(plan, part, notes)
    shape = [(6, 5), (6, 8), (5, 5), (5, 7), (4, 5), (4, 7), (3, 5), (3, 7), (2, 5), (2, 8), (1, 5), (1, 8)]
    assert [found.places[note] for note in notes] == shape


def test_open_strings_do_not_stand_among_notes_far_up_the_neck() -> None:
    plan, part = plan_and_part()
    found = fingering(plan, part, line(76, 74, 71, 69, 71, 74, 76, 59, 67, 69, 71, 76))
    assert all(fret > 0 for _, fret in found.places.values())


def test_places_that_the_notes_bring_are_kept() -> None:
    plan, part = plan_and_part()
    notes = [Note("lead", 0, 4, 64, 3, 9), Note("lead", 4, 4, 66), Note("lead", 8, 4, 64, 2, 5)]
    found = fingering(plan, part, notes)
    assert (found.places[notes[0]], found.places[notes[2]]) == ((3, 9), (2, 5))


def test_a_place_that_is_not_the_pitch_s_own_is_not_believed() -> None:
    plan, part = plan_and_part()
    found = fingering(plan, part, [Note("lead", 0, 4, 64, 3, 2)])
    assert list(found.places.values()) == [(1, 0)]


@pytest.mark.parametrize("pitches", SHAPES)
def test_a_struck_chord_without_places_is_held_on_neighbouring_strings(pitches: tuple[int, ...]) -> None:
    plan, part = plan_and_part(texture="chords")
    notes = [Note("lead", 0, 4, pitch) for pitch in pitches]
    found = fingering(plan, part, notes)
    strings = sorted(found.places[note][0] for note in notes)
    assert strings == list(range(strings[0], strings[0] + len(pitches)))
    assert found.unplayable == ()


def test_a_chord_goes_where_the_hand_already_is() -> None:
    plan, part = plan_and_part(texture="chords")
    assert assign_strings((52, 55, 60), part.instrument, neighbouring=True) == ((4, 2), (3, 0), (2, 1))
    up_there = ((76, 1, 12), (71, 2, 12))
    high = [Note("lead", at, 2, *where) for at in (0, 4) for where in up_there]
    chord = [Note("lead", 2, 2, pitch) for pitch in (52, 55, 60)]
    found = fingering(plan, part, [*high, *chord])
    assert min(found.places[note][1] for note in chord) >= 8


def test_what_no_hand_can_hold_is_told_and_still_has_strings() -> None:
    plan, part = plan_and_part(texture="chords")
    notes = [Note("lead", 0, 4, pitch) for pitch in (41, 47, 77)]
    found = fingering(plan, part, notes)
    assert found.unplayable == tuple(notes)
    assert len({string for string, _ in found.places.values()}) == 3


def test_notes_outside_the_instrument_are_told_and_the_rest_is_fingered() -> None:
    plan, part = plan_and_part()
    notes = line(64, 20, 67)
    found = fingering(plan, part, notes)
    assert found.unplayable == (notes[1],)
    assert set(found.places) == {notes[0], notes[2]}


def test_a_broken_chord_without_places_is_one_shape_a_chord() -> None:
    plan, part = plan_and_part("nylon guitar", figure=BROKEN)
    plan = replace(plan, bars=1)
    assert part.rings
    notes = line(43, 50, 55, 59, 55, 50)
    found = fingering(plan, part, notes)
    by_pitch = {note.pitch: found.places[note] for note in notes}
    assert all(by_pitch[note.pitch] == found.places[note] for note in notes)
    strings = sorted(string for string, _ in by_pitch.values())
    assert strings == list(range(strings[0], strings[0] + 4))
    frets = [fret for _, fret in by_pitch.values() if fret]
    assert max(frets) - min(frets) < part.instrument.hand_span


@pytest.mark.parametrize("name", TEXTS)
def test_equal_notes_of_every_statement_lie_in_the_same_places(name: str) -> None:
    plan = sample_plan(name)
    notes = sample_arrangement(plan)
    for part in plan.parts:
        found = fingering(plan, part, notes.part(part.name))
        if part.repeat_every is None or not part.is_line:
            continue
        seen: dict[tuple[int, int], object] = {}
        for note, place in found.places.items():
            assert seen.setdefault((plan.home_slot(part, note.onset), note.pitch), place) == place


def test_silence_has_no_fingering() -> None:
    plan, part = plan_and_part()
    found = fingering(plan, part, [])
    assert (found.places, found.unplayable, found.cost) == ({}, (), 0)
