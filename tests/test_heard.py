"""An arrangement as it is heard: strokes, moves, what sounds when, and by which chord it is judged."""

from __future__ import annotations

from solver.arrangement import Arrangement, Note
from solver.heard import Heard, judging_chord, judging_scale, strokes_of
from tests.rules.small import heard, plan_of

TWO = 'bars = 2; chords = ["C", "F"]; chord_bars = 1'


def test_strokes_are_groups_of_one_onset() -> None:
    music = heard(plan_of(lead=""), lead="C4+E4 . G4 -")
    first, second = music.of(music.plan.part("lead"))
    assert (first.onset, first.end, first.pitches, first.top, first.places) == (0, 4, (60, 64), 64, None)
    assert (second.onset, second.end, second.pitches, second.top) == (8, 16, (67,), 67)
    assert music.onsets == {"lead": (0, 8)}


def test_a_stroke_lasts_as_long_as_its_longest_note() -> None:
    plan = plan_of(lead="")
    notes = Arrangement((Note("lead", 0, 2, 60), Note("lead", 0, 6, 64)))
    assert [stroke.end for stroke in strokes_of(plan, plan.part("lead"), notes)] == [6]


def test_places_are_kept_where_all_notes_have_them() -> None:
    plan = plan_of(lead="")
    held = Arrangement((Note("lead", 0, 2, 60, 2, 1), Note("lead", 0, 2, 64, 1, 0), Note("lead", 4, 2, 64)))
    assert [stroke.places for stroke in strokes_of(plan, plan.part("lead"), held)] == [((2, 1), (1, 0)), None]


def test_a_broken_chord_rings_to_the_change() -> None:
    music = heard(plan_of(TWO, lead='figure = "broken chord"'), lead="C4 E4 . . | . F4 . .")
    assert [stroke.end for stroke in music.of(music.plan.part("lead"))] == [16, 16, 32]
    assert music.sounding_at(music.plan.part("lead"), 10) == (60, 64)


def test_the_last_move_leads_back() -> None:
    music = heard(plan_of(lead=""), lead="C5 E5 G5 .")
    part = music.plan.part("lead")
    assert [(a.top, b.top) for a, b in music.moves(part)] == [(72, 76), (76, 79), (79, 72)]
    assert list(heard(plan_of(lead=""), lead="C5 . . .").moves(part)) == []


def test_what_sounds_in_a_chords_time() -> None:
    music = heard(plan_of(TWO, lead=""), lead="C5 . . E5 | - . A5 .")
    part, (first, second) = music.plan.part("lead"), music.plan.spans
    assert [stroke.top for stroke in music.in_span(part, first)] == [72, 76]
    assert [stroke.top for stroke in music.in_span(part, second)] == [76, 81]
    assert music.sounding_at(part, 17) == (76,)
    assert music.sounding_at(part, 4) == ()


def test_strong_slots_of_the_loop() -> None:
    assert heard(plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2")).strong_slots == (0, 8, 16, 24)
    assert heard(plan_of('meter = "3/4"', lead="")).strong_slots == (0,)
    assert heard(plan_of('meter = "6/8"', lead="")).strong_slots == (0, 6)


def test_a_repeat_is_judged_by_the_chord_under_the_first_statement() -> None:
    plan = plan_of('bars = 2; key = "A minor"; chords = ["E7", "Am"]; chord_bars = 1', lead="repeat_every = 1", low="")
    lead, low = plan.part("lead"), plan.part("low")
    assert judging_chord(plan, lead, 20).symbol == "E7"
    assert judging_chord(plan, low, 20).symbol == "Am"
    assert 8 in judging_scale(plan, lead, 20)
    assert 8 not in judging_scale(plan, low, 20)


def test_every_part_is_there_even_a_silent_one() -> None:
    music = Heard(plan_of(lead="", low=""), Arrangement(()))
    assert music.parts == {"lead": (), "low": ()}
