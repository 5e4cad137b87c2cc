"""Places where the two halves of a rule could part, written out: the model and the check judge them alike."""

from __future__ import annotations

from dataclasses import replace

from solver.brief.plan import Plan
from solver.check import breaches
from solver.rhythm.skeleton import skeleton_from
from tests.rules.small import heard, plan_of
from tests.search.fixing import is_feasible, lines_of, model_of
from tests.search.small_loops import FRETS, TUNING


def verdicts(plan: Plan, **lines: str) -> tuple[bool, list[str]]:
    """Whether the model allows these lines, and the rules that the check finds broken."""
    music = heard(plan, **lines)
    model = model_of(plan, skeleton_from(plan, music.onsets))
    found = [breach.rule for breach in breaches(plan, music.arrangement)]
    return is_feasible(model, lines_of(plan, music.arrangement)), found


LONE = "grid = 4"
LEAD = 'range = "C5..G5"; notes_per_bar = [2, 3]'


def test_a_lone_note_outside_the_chord() -> None:
    """A part of one note in the whole loop moves nowhere, so it does not come and go by step."""
    plan = plan_of(LONE, lead=LEAD, counter='range = "F4..B4"; notes_per_bar = [1, 1]')
    assert verdicts(plan, lead="C5 E5 G5 .", counter=". . . G4") == (True, [])
    outside = verdicts(plan, lead="C5 E5 G5 .", counter=". . . A4")
    assert outside == (False, ["notes outside the chord come and go by step"])


def test_a_lone_note_of_the_background() -> None:
    """A is the background's own; so is F, but it lies a semitone above a chord tone."""
    plan = plan_of(LONE, lead=LEAD, background='range = "F4..B4"; notes_per_bar = [1, 1]')
    assert verdicts(plan, lead="C5 E5 G5 .", background=". . . A4") == (True, [])
    rubbing = verdicts(plan, lead="C5 E5 G5 .", background=". . . F4")
    assert rubbing == (False, ["notes outside the chord come and go by step"])


def test_a_low_part_whose_only_note_repeats() -> None:
    plan = plan_of(
        "bars = 2; chord_bars = 2; grid = 4",
        lead=f"{LEAD}; repeat_every = 2",
        low='range = "C3..C4"; notes_per_bar = [1, 1]; repeat_every = 1',
    )
    one_note = verdicts(plan, lead="C5 E5 G5 . | C5 E5 G5 .", low="C3 . . . | C3 . . .")
    assert one_note == (False, ["the low part is more than one note"])


def test_one_pitch_on_two_strings_of_a_held_shape() -> None:
    """Only with C4 on the second and on the third string at once would the strings in use be neighbours."""
    plan = plan_of(
        'key = "A minor"; chords = ["Am"]; grid = 4',
        lead='figure = "broken chord"; range = "E3..C5"; notes_per_bar = [4, 4]',
    )
    assert verdicts(plan, lead="E3 C4 A4 C4") == (False, ["a broken chord is one held shape"])
    assert verdicts(plan, lead="E3 A3 C4 A3") == (True, [])


def test_a_held_shape_for_more_fingers_than_a_hand_has() -> None:
    plan = plan_of(
        'key = "D minor"; chords = ["Dm9"]; grid = 8',
        chords='figure = "broken chord"; range = "E2..C6"; notes_per_bar = [8, 8]',
        low='range = "D2..F3"; tuning = "drop D"',
    )
    five_fingers = verdicts(plan, chords="F3 A3 E4 F4 C5 F4 E4 A3", low="D2 . . . . . . .")
    assert five_fingers == (False, ["a broken chord is one held shape"])


def test_a_hand_that_moves_within_a_chord_because_the_repeat_changes_chord_there() -> None:
    """The second statement's chord changes after a bar, so the first statement's hand is free after a bar too."""
    plan = plan_of(
        'bars = 4; chords = ["C", "Am"]; chord_bars = [3, 1]; grid = 4',
        lead='figure = "broken chord"; range = "E3..E5"; repeat_every = 2; vary_notes = [0, 0]; notes_per_bar = [2, 2]',
        low='range = "G2..E3"; notes_per_bar = [0, 1]',
    )
    low, lead = plan.part("low"), plan.part("lead")
    neck = replace(lead.instrument, tuning=TUNING, frets=FRETS, hand_span=3)
    plan = replace(plan, parts=(replace(lead, instrument=neck), low))
    line = "E4 . G4 . | C5 . E5 ."
    assert verdicts(plan, lead=f"{line} | {line}", low="C3 . . . | . . . . | G2 . . . | A2 . . .") == (True, [])
