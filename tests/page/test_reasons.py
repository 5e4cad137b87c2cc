"""Why notes are there: the page's words, on lines made for the purpose."""

from __future__ import annotations

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.page.reasons import Reasons
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan
from tests.rules.small import heard, plan_of

TWO = 'bars = 2; chords = ["C", "F"]; chord_bars = 1'


def reasons(music: Heard) -> Reasons:
    return Reasons(music.plan, music.arrangement)


def why(music: Heard, part: str, onset: int) -> tuple[str, ...]:
    note = next(note for note in music.arrangement.part(part) if note.onset == onset)
    return reasons(music).of(note)


def function(music: Heard, part: str, onset: int) -> str:
    return reasons(music).function(next(note for note in music.arrangement.part(part) if note.onset == onset))


def test_a_passing_note_names_what_it_passes_between() -> None:
    music = heard(plan_of(lead=""), lead="C4 D4 E4 D4")
    assert "passing note between C and E" in why(music, "lead", 4)
    assert function(music, "lead", 4) == "outside C"
    assert function(music, "lead", 8) == "third of C"


def test_a_neighbour_note() -> None:
    music = heard(plan_of(lead=""), lead="C4 D4 C4 E4")
    assert "neighbour note of C" in why(music, "lead", 4)


def test_the_low_part_says_what_it_does_under_the_chords() -> None:
    music = heard(plan_of(TWO, low=""), low="C2 D2 E2 E2 | F2 E2 D2 D2")
    assert why(music, "low", 0)[0] == "root of C, as the chord begins"
    assert "walks by step into F" in why(music, "low", 12)
    assert "walks by step into C" in why(music, "low", 28)


def test_the_background_has_something_of_its_own() -> None:
    music = heard(plan_of(lead="", background=""), lead="C4 E4 C4 E4", background="G3 - C3 -")
    assert why(music, "background", 0)[0] == "its own pitch class: no other part has G under C"
    assert not any("own pitch class" in words for words in why(music, "background", 8))


def test_a_tone_that_only_one_part_has() -> None:
    music = heard(plan_of(lead="", low=""), lead="E4 - C4 -", low="C2 - G2 -")
    assert "alone in having the third of C" in why(music, "lead", 0)
    assert "alone in having the fifth of C" in why(music, "low", 8)


def test_varied_and_repeated_notes() -> None:
    plan = plan_of("bars = 2", lead="repeat_every = 1; vary_notes = [1, 1]")
    music = heard(plan, lead="C4 E4 G4 E4 | C4 E4 G4 C4")
    assert why(music, "lead", 28)[0].startswith("varied note")
    assert "repeats bar 1" in why(music, "lead", 20)


def test_a_note_without_a_duty_says_how_the_line_comes_to_it() -> None:
    music = heard(plan_of(lead=""), lead="C4 E4 C4 C4")
    assert (
        why(music, "lead", 4) == ("alone in having the third of C",) or "semitones from C" in why(music, "lead", 4)[0]
    )
    assert "few pitches" in why(music, "lead", 12)[0]


def every_note(plan: Plan) -> list[tuple[str, ...]]:
    arrangement = sample_arrangement(plan)
    found = Reasons(plan, arrangement)
    return [found.of(note) for note in arrangement.notes]


def test_every_note_of_every_role_has_a_reason() -> None:
    for name in TEXTS:
        for words in every_note(sample_plan(name)):
            assert 1 <= len(words) <= 4
            assert len(set(words)) == len(words)
