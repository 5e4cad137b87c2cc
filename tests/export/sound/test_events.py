"""When notes sound, in samples."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID, Feel
from solver.export.sound.events import events_of, loop_samples, sounding_end
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

RATE = 44_100


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("rate", [44_100, 48_000])
def test_the_loop_is_whole_samples_and_no_note_drifts(name: str, rate: int) -> None:
    plan = replace(sample_plan(name), feel=GRID)
    exact = Fraction(plan.bars) * plan.metre.quarters_per_bar * 60 * rate / Fraction(plan.tempo)
    samples = loop_samples(plan, rate)
    assert abs(samples - exact) <= Fraction(1, 2)
    arrangement = sample_arrangement(plan)
    events = events_of(plan, arrangement, rate)
    for part in plan.parts:
        starts = [event.start for event in events[part.name]]
        for stroke in arrangement.strokes(part.name):
            place = Fraction(stroke[0].onset, plan.slots) * exact
            assert min(abs(start - place) for start in starts) <= 1


def test_what_is_played_ahead_of_the_loop_sounds_at_its_end() -> None:
    early = Feel(drag={"lead": -20.0}, spread=0.0)
    plan = replace(sample_plan("ferry-lights"), feel=early)
    first = Arrangement((Note("lead", 0, 4, 71),))
    samples = loop_samples(plan, RATE)
    (looped,) = events_of(plan, first, RATE)["lead"]
    assert looped.start == samples - round(0.020 * RATE)
    (once,) = events_of(plan, first, RATE, once=True)["lead"]
    assert once.start == 0


def test_struck_chords_are_spread_from_the_lowest_string_and_dyads_are_not() -> None:
    plan = replace(sample_plan("night-ferry"), feel=Feel(spread=0.0))
    chord = Arrangement(tuple(Note("strum", 16, 8, pitch) for pitch in (53, 56, 60, 63)))
    events = sorted(events_of(plan, chord, RATE)["strum"], key=lambda event: event.pitch)
    assert [event.start - events[0].start for event in events] == [
        pytest.approx(n * 0.007 * RATE, abs=1) for n in range(4)
    ]
    assert len({event.start + event.held for event in events}) == 1
    dyad = Arrangement(tuple(Note("strum", 16, 8, pitch) for pitch in (53, 56)))
    assert len({event.start for event in events_of(plan, dyad, RATE)["strum"]}) == 1


def test_a_broken_chord_rings_until_its_string_or_its_chord_changes() -> None:
    plan = sample_plan("slack-water")  # a chord a bar of 16 slots
    lead = plan.part("lead")
    assert lead.rings
    first, same_string, other = (
        Note("lead", 0, 2, 62, 4, 12),
        Note("lead", 6, 2, 57, 4, 7),
        Note("lead", 2, 2, 66, 3, 11),
    )
    notes = (first, other, same_string)
    assert sounding_end(plan, lead, first, notes) == 6
    assert sounding_end(plan, lead, other, notes) == 16
    assert sounding_end(plan, lead, same_string, notes) == 16


def test_every_other_note_has_its_written_length() -> None:
    plan = sample_plan("ferry-lights")
    note = Note("lead", 0, 3, 71)
    assert sounding_end(plan, plan.part("lead"), note, (note,)) == 3
