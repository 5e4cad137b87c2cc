"""The last stage: both halves of the rules of ornaments say the same, and none are chosen where none are wanted."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.check import breaches
from solver.heard import Heard
from solver.held import Held
from solver.music.ornaments import KINDS, NONE
from solver.rhythm.skeleton import skeleton_from
from solver.rules import every_rule
from solver.rules.ornament_count import NAME as COUNT
from solver.rules.ornament_count import decorate
from solver.search.model import PitchModel
from solver.search.ornaments import OrnamentModel, ornamented, with_choices
from tests.rules.small import heard, plan_of
from tests.search.halves import random_lines
from tests.search.random_briefs import random_case

ABOUT_ORNAMENTS = [rule for rule in every_rule() if rule.post_ornaments or rule.allows_ornament] + [
    rule for rule in every_rule() if rule.name == "the repeat repeats its ornaments"
]
WANTING = ("none", "few", "many", "many")


def drawn(seed: int) -> tuple[Plan, Arrangement] | None:
    """A small brief whose lines may have ornaments, with notes in any pitches that last up to the next ones."""
    random = Random(seed)
    case = random_case(random)
    if case is None:
        return None
    parts = tuple(
        replace(part, ornaments=random.choice(WANTING)) if part.is_line and not part.rings else part
        for part in case.plan.parts
    )
    plan = replace(case.plan, parts=parts, tempo=random.choice((60.0, 120.0, 240.0)))
    lines = random_lines(random, case)
    notes: list[Note] = []
    for part in plan.parts:
        for slot, pitches in zip(case.skeleton.slots[part.name], lines[part.name], strict=True):
            notes += [Note(part.name, slot.onset, slot.length, pitch) for pitch in pitches]
    return plan, Arrangement(tuple(notes))


def broken(plan: Plan, arrangement: Arrangement) -> list[str]:
    """Breaches of the rules of ornaments, but for that some could be added."""
    judged = Heard(plan, arrangement)
    found = [breach for rule in ABOUT_ORNAMENTS for breach in rule.breaches(judged)]
    return [breach.line(plan) for breach in found if breach.rule != COUNT or "is possible" not in breach.why]


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_the_check_accepts_what_the_model_allows_and_nothing_else(seed: int) -> None:
    case = drawn(seed)
    if case is None:
        return
    plan, arrangement = case
    random = Random(seed + 1)
    model = OrnamentModel(plan, arrangement)
    for _ in range(4):
        drawn_choices = [choice for choice in model.choices if random.random() < random.choice((0.1, 0.4))]
        chosen = list({(choice.part, choice.notes[0]): choice for choice in drawn_choices}.values())
        clone = model.cp.clone()
        for choice in model.choices:
            clone.add(clone.get_bool_var_from_proto_index(choice.literal.index) == (choice in chosen))
        allowed = cp_model.CpSolver().solve(clone) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        assert allowed == (not broken(plan, with_choices(arrangement, chosen)))


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_what_has_no_literal_breaks_a_rule(seed: int) -> None:
    """Any other ornament, on any note, with all that repeat it."""
    case = drawn(seed)
    if case is None:
        return
    plan, arrangement = case
    random = Random(seed + 2)
    known = {(choice.part, choice.notes[0], choice.kind) for choice in OrnamentModel(plan, arrangement).choices}
    for note in random.sample(arrangement.notes, min(4, len(arrangement.notes))):
        part, kind = plan.part(note.part), random.choice(KINDS)
        if plan.home_slot(part, note.onset) == note.onset and (note.part, note, kind) not in known:
            assert broken(plan, decorate(plan, part, arrangement, note, kind))


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_what_is_chosen_keeps_every_rule_of_ornaments(seed: int) -> None:
    case = drawn(seed)
    if case is None:
        return
    plan, arrangement = case
    found = ornamented(plan, arrangement)
    about = {rule.name for rule in ABOUT_ORNAMENTS}
    assert [breach for breach in breaches(plan, found) if breach.rule in about] == []
    assert [replace(note, ornament=None) for note in found.notes] == list(arrangement.notes)
    assert ornamented(plan, arrangement) == found


def test_none_are_wanted_by_default() -> None:
    plan = plan_of(lead="", low="")
    arrangement = heard(plan, lead="E5 - C5 -", low="C3 - - -").arrangement
    assert all(part.ornaments == NONE for part in plan.parts)
    assert ornamented(plan, arrangement) is arrangement


def test_leads_and_counters_are_decorated_unless_a_part_says_otherwise() -> None:
    plan = plan_of('ornaments = "few"', lead='ornaments = "none"', counter="", low="", background='ornaments = "many"')
    assert [part.ornaments for part in plan.parts] == ["none", "few", "none", "many"]
    broken_chord = plan_of('ornaments = "few"', lead='figure = "broken chord"')
    assert broken_chord.parts[0].ornaments == NONE


def test_a_run_is_found_where_there_is_room_for_one() -> None:
    plan = plan_of('ornaments = "few"', lead="")
    found = ornamented(plan, heard(plan, lead="C4 - G4 E4").arrangement)
    assert [note.ornament for note in found.notes] == ["run", None, None]


def test_what_is_held_keeps_its_ornaments() -> None:
    """The trill of the second statement, on the one note that would least likely have got it."""
    plan = plan_of('bars = 2; ornaments = "few"', lead="repeat_every = 1")
    line = "C4 - G4 E4 | C4 - G4 E4:trill"
    kept = tuple(note for note in heard(plan, lead=line).arrangement.notes if note.onset >= 16)
    before = heard(plan, lead="C4 - G4 E4 | C4 - G4 E4").arrangement
    assert [note.ornament for note in ornamented(plan, before).notes] == ["run", None, None] * 2
    held = replace(plan, held=(Held("lead", 16, 32, "notes", kept, "lock lead:2"),))
    assert [note.ornament for note in ornamented(held, before).notes] == [None, None, "trill"] * 2


def test_the_pitch_model_is_the_same_with_and_without() -> None:
    sizes = set()
    for how in ("none", "few", "many"):
        plan = plan_of(f'ornaments = "{how}"', lead="", low="")
        onsets = heard(plan, lead="C5 - G4 E4", low="C3 - G2 -").onsets
        model = PitchModel(plan, skeleton_from(plan, onsets))
        sizes.add((len(model.cp.proto.variables), len(model.cp.proto.constraints)))
    assert len(sizes) == 1
