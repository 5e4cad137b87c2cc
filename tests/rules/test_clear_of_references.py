"""Arrangements keep clear of references: runs of intervals with their rhythm, and leads in rhythm and contour."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Arrangement, Note
from solver.avoided import Avoidance, Avoided, loop_line
from solver.brief.plan import Plan
from solver.heard import Heard
from solver.held import Held
from solver.rules.clear_of_references import RULE
from solver.search.pool import arrange
from tests.rules.small import notes_of, plan_of
from tests.search.fixing import any_solution, arrangement_of, is_feasible, lines_of, model_of
from tests.search.halves import changed
from tests.search.random_briefs import random_case

LOW = plan_of("bars = 2", low="")
LEAD = plan_of("bars = 2", lead="repeat_every = 1; vary_notes = [0, 1]")
TUNE = "C4 D4 F4 E4 C4 G4 A4 F4 | D4 - B3 - C4 - - -"


def avoiding(plan: Plan, longest: int = 5, **lines: str) -> Plan:
    """The plan, kept clear of a file of these parts."""
    made = [loop_line(name, notes_of(plan, name, text), plan.slots, Fraction(1, 4)) for name, text in lines.items()]
    source = Avoided("quay.mid", Fraction(4), tuple(line for line in made if line))
    return replace(plan, avoid=Avoidance((source,), longest))


def breaches(plan: Plan, part: str, text: str) -> list[tuple[int, str]]:
    heard = Heard(plan, Arrangement(notes_of(plan, part, text)))
    return [(breach.slot, breach.why) for breach in RULE.breaches(heard)]


def test_the_same_tune_in_another_key() -> None:
    plan = avoiding(LOW, x=TUNE)
    up = "D4 E4 G4 F#4 D4 A4 B4 G4 | E4 - C#4 - D4 - - -"
    assert breaches(plan, "low", up) == [(0, "11 intervals with their rhythm are those of quay.mid, x, bar 1")]


def test_so_many_intervals_may_be_the_same() -> None:
    five = "C4 D4 F4 E4 C4 G4 E4 C4 | C4 - - - - - - -"
    six = "C4 D4 F4 E4 C4 G4 A4 C4 | C4 - - - - - - -"
    assert breaches(avoiding(LOW, x=TUNE), "low", five) == []
    assert [slot for slot, _ in breaches(avoiding(LOW, x=TUNE), "low", six)] == [0]
    assert [slot for slot, _ in breaches(avoiding(LOW, 4, x=TUNE), "low", five)] == [0]


def test_another_rhythm_is_free() -> None:
    slower = "C4 - D4 - F4 - E4 - | C4 - G4 - A4 - F4 -"
    assert breaches(avoiding(LOW, x=TUNE), "low", slower) == []


def test_repeated_notes_and_a_plain_chord_are_free() -> None:
    for text in (
        "C4 C4 C4 C4 C4 C4 C4 C4 | C4 C4 C4 C4 C4 C4 C4 C4",
        "C4 E4 G4 C4 E4 G4 C4 E4 | C4 E4 G4 C4 E4 C4 G4 E4",
    ):
        assert breaches(avoiding(LOW, x=text), "low", text) == []


def test_a_run_over_the_seam() -> None:
    turned = "D4 - B3 - C4 - - - | C4 D4 F4 E4 C4 G4 A4 F4"
    assert [slot for slot, _ in breaches(avoiding(LOW, x=TUNE), "low", turned)] == [0]


def test_a_lead_with_the_rhythm_and_contour_of_the_reference() -> None:
    theirs = "C4 D4 . F4 E4 C4 . G4 | C4 D4 . F4 E4 C4 . G4"
    ours = "E4 G4 . A4 F4 E4 . F4 | E4 G4 . A4 F4 E4 . F4"
    assert breaches(avoiding(LEAD, x=theirs), "lead", ours) == [
        (0, "rhythm and contour are those of quay.mid, x, bar 1"),
    ]
    other = "E4 G4 . A4 F4 E4 . D4 | E4 G4 . A4 F4 E4 . D4"
    assert breaches(avoiding(LEAD, x=theirs), "lead", other) == []
    assert breaches(avoiding(LOW, x=theirs), "low", ours) == []


def test_without_references_all_is_free() -> None:
    assert breaches(LOW, "low", TUNE) == []


def test_notes_off_the_references_grid_and_lone_notes() -> None:
    plan = replace(LOW, avoid=Avoidance((Avoided("quay.mid", Fraction(4), ()),), 5))
    assert RULE.breaches(Heard(plan, Arrangement((Note("low", 3, 1, 60),)))) == []


def test_both_halves_agree() -> None:
    """Around references that are made of a model's own solution, a little changed and turned round the loop."""
    judged = {True: 0, False: 0}

    @given(st.integers(0, 2**31 - 1))
    @settings(max_examples=24, deadline=None, derandomize=True)
    def agree(seed: int) -> None:
        random = Random(seed)
        case = random_case(random)
        free = model_of(case.plan, case.skeleton) if case else None
        solution = any_solution(free, random) if free else None
        if case is None or solution is None:
            return
        own = lines_of(case.plan, solution)
        near = arrangement_of(case.plan, case.skeleton, changed(random, case, own) if random.random() < 0.7 else own)
        turn = random.choice((0, 0, 3, case.plan.metre.grid))
        parts = [
            tuple(replace(note, onset=(note.onset + turn) % case.plan.slots) for note in near.part(part.name))
            for part in case.plan.parts
        ]
        unit = case.plan.quarters_per_slot
        made = [loop_line("x", notes, case.plan.slots, unit) for notes in parts]
        source = Avoided("quay.mid", Fraction(4), tuple(line for line in made if line))
        plan = replace(case.plan, avoid=Avoidance((source,), random.choice((2, 2, 3, 5))))
        clear = model_of(plan, case.skeleton)
        for lines in (own, changed(random, case, own), changed(random, case, own)):
            if is_feasible(free, lines):
                broken = RULE.breaches(Heard(plan, arrangement_of(plan, case.skeleton, lines)))
                allowed = is_feasible(clear, lines)
                judged[allowed] += 1
                assert allowed == (not broken), (seed, broken)

    agree()
    assert min(judged.values()) >= 3


def test_held_notes_are_let_off_and_the_rest_is_not() -> None:
    """A lead that is held whole comes out as it is, though the reference has it; the low part keeps clear."""
    plan = plan_of(
        'bars = 2; grid = 8; chords = ["C", "G"]; chord_bars = 1; count = 1',
        lead='range = "C4..C5"; notes_per_bar = [2, 6]; repeat_every = 2',
        low='range = "E2..E3"; notes_per_bar = [2, 4]',
    )
    found = arrange(plan, count=1, limit=0.5).arrangements[0].arrangement
    lines = [loop_line(part.name, found.part(part.name), plan.slots, plan.quarters_per_slot) for part in plan.parts]
    avoid = Avoidance((Avoided("quay.mid", Fraction(4), tuple(line for line in lines if line)),), 2)
    held = Held("lead", 0, plan.slots, "notes", found.part("lead"), "lock lead")
    again = arrange(replace(plan, avoid=avoid, held=(held,)), count=1, limit=0.5).arrangements[0]
    assert again.arrangement.part("lead") == found.part("lead")
    assert {(breach.rule, breach.part) for breach in again.excused} == {(RULE.name, "lead")}
    assert [breach.part for breach in RULE.breaches(Heard(replace(plan, avoid=avoid), again.arrangement))] == [
        "lead"
    ] * len(again.excused)
