"""Other keys: the same intervals, each part on its instrument, or a reason why not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.planning import plan_from_text
from solver.export.transposing import OutOfReach, transposed
from solver.music.scales import parse_key
from tests.export.sample_plans import HARBOUR_WALTZ, sample_plan

FERRY = sample_plan("ferry-lights")  # B minor
LOW = Note("low", 0, 4, 45)
SMALL = Arrangement((Note("lead", 0, 4, 71), Note("lead", 4, 4, 74), LOW, Note("middle", 0, 2, 62)))


def test_every_note_moves_by_the_same_interval_the_nearest_way() -> None:
    plan, moved = transposed(FERRY, SMALL, parse_key("C minor"))
    assert [note.pitch for note in moved.notes] == [note.pitch + 1 for note in SMALL.notes]
    assert plan.key.name == "C minor"
    _, down = transposed(FERRY, SMALL, parse_key("G minor"))
    assert [note.pitch for note in down.notes] == [note.pitch - 4 for note in SMALL.notes]


def test_the_brief_in_the_other_key_has_the_same_chords_and_scales() -> None:
    """Moving a plan and planning a brief that was written in the other key come to the same."""
    here = plan_from_text(HARBOUR_WALTZ, "harbour-waltz")
    there = plan_from_text(
        HARBOUR_WALTZ.replace('"A minor"', '"Bb minor"').replace(
            '["Am", "E7", "F", "G/B"]', '["Bbm", "F7", "Gb", "Ab/C"]'
        ),
        "harbour-waltz",
    )
    plan, _ = transposed(here, Arrangement(()), parse_key("Bb minor"))
    assert plan.key == there.key
    assert plan.spans == there.spans


def test_a_root_with_two_accidentals_is_written_with_one() -> None:
    plan = replace(sample_plan("harbour-waltz"))  # E7 in A minor: in G# minor D#7, in Ab minor Eb7
    moved, _ = transposed(plan, Arrangement(()), parse_key("G# minor"))
    assert [span.chord.symbol for span in moved.spans[:4]] == ["G#m", "D#7", "E", "F#/A#"]


def test_the_other_way_is_taken_where_only_it_fits() -> None:
    high = Arrangement((Note("lead", 0, 4, 86),))  # the top of the neck
    _, moved = transposed(FERRY, high, parse_key("C minor"))
    assert moved.notes[0].pitch == 75


def test_what_an_ornament_adds_has_to_fit_too() -> None:
    trilled = Arrangement((Note("lead", 0, 8, 85, ornament="trill"),))  # to the neck's highest note
    _, moved = transposed(FERRY, trilled, parse_key("C minor"))
    assert moved.notes[0].pitch == 74


def test_a_key_in_which_a_part_leaves_its_instrument_is_refused_with_the_reason() -> None:
    wide = Arrangement((Note("lead", 20, 4, 86), Note("low", 0, 4, 40)))
    with pytest.raises(OutOfReach) as refused:
        transposed(FERRY, wide, parse_key("D minor"))
    assert str(refused.value) == (
        "not to be played in D minor: +3 semitones take lead to F6 at bar 2, beat 2, but the electric guitar has E2..D6"
    )


def test_a_chord_that_no_hand_holds_there_is_refused() -> None:
    plan = sample_plan("night-ferry")
    open_strings = Arrangement(tuple(Note("strum", 0, 4, pitch) for pitch in (45, 50, 55, 59)))
    held = transposed(plan, open_strings, parse_key("G dorian"))[1]
    assert [note.pitch for note in held.notes] == [47, 52, 57, 61]
    crushed = Arrangement(tuple(Note("strum", 0, 4, pitch) for pitch in (45, 71, 76)))  # an open string and fret 12
    with pytest.raises(OutOfReach, match="no hand holds"):
        transposed(plan, crushed, parse_key("E dorian"))


def test_another_mode_is_refused() -> None:
    with pytest.raises(OutOfReach, match="C major is not minor, as the brief is; write C minor"):
        transposed(FERRY, SMALL, parse_key("C major"))


def test_the_key_that_it_has_changes_nothing() -> None:
    plan, moved = transposed(FERRY, SMALL, parse_key("B minor"))
    assert moved == SMALL
    assert plan.spans == FERRY.spans
