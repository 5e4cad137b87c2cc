"""How far arrangements are apart, and what a search is held to."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.held import Aspect, Held
from solver.rework import NothingLeft, Wish, prepare
from solver.search.pool import arrange
from solver.search.variety import FAR, NEAR, Variety, distance, free_notes, is_apart, is_free, leads_differ
from tests.rework_briefs import first, origin, solved
from tests.rules.small import notes_of, plan_of

PLAN = plan_of("bars = 4; grid = 4", lead="repeat_every = 2; vary_notes = [1, 1]", low="")
LEAD = "C5 E5 G5 E5 | C5 . G5 . | C5 E5 G5 E5 | C5 . A5 ."


def lead(text: str) -> Arrangement:
    return Arrangement(notes_of(PLAN, "lead", text))


def holding(plan: Plan, part: str, first_bar: int, last_bar: int, aspect: Aspect = "notes") -> Plan:
    grid = plan.metre.grid
    return replace(plan, held=(*plan.held, Held(part, (first_bar - 1) * grid, last_bar * grid, aspect, (), "a test")))


def octave_up(note: Note) -> Note:
    return replace(note, pitch=note.pitch + 12)


def slot_later(note: Note) -> Note:
    return replace(note, onset=(note.onset + 1) % PLAN.slots)


@pytest.mark.parametrize("shift", [octave_up, slot_later])
def test_a_shift_hides_nothing(shift: Callable[[Note], Note]) -> None:
    moved = Arrangement(tuple(shift(note) for note in lead(LEAD).notes))
    assert distance(PLAN, lead(LEAD), moved) == 0


def test_the_share_of_notes_that_differ() -> None:
    other = lead(LEAD.replace("A5", "B5"))
    assert distance(PLAN, lead(LEAD), other) == pytest.approx(1 / 12)


@given(st.sets(st.integers(1, 4)))
def test_distance_is_symmetric_and_the_held_bars_do_not_count(bars: set[int]) -> None:
    plan = PLAN
    for bar in sorted(bars):
        plan = holding(plan, "lead", bar, bar)
    other = lead(LEAD.replace("E5", "F5"))
    assert distance(plan, lead(LEAD), other) == distance(plan, other, lead(LEAD))
    free = {note.onset // 4 + 1 for note in free_notes(plan, lead(LEAD))}
    # Bars 1 and 3 are one, for the part repeats; bar 4 is varied and counts for itself.
    bound = bars | ({1, 3} if bars & {1, 3} else set())
    assert free == {1, 2, 3, 4} - bound


def test_one_aspect_leaves_a_note_free() -> None:
    plan = holding(PLAN, "lead", 1, 4, "rhythm")
    assert all(is_free(plan, plan.part("lead"), slot) for slot in range(plan.slots))


def test_rhythm_and_pitch_together_leave_nothing_free() -> None:
    plan = holding(holding(PLAN, "lead", 1, 4, "rhythm"), "lead", 1, 2, "pitch")
    assert {slot // 4 for slot in range(plan.slots) if is_free(plan, plan.part("lead"), slot)} == {3}
    with pytest.raises(NothingLeft):
        prepare(origin(), Wish(("lead:rhythm", "lead:pitch", "low", "middle")))


def test_where_all_is_held_there_is_one_arrangement() -> None:
    plan = prepare(origin(), Wish(("lead", "low"))).plan
    whole = Held("middle", 0, plan.slots, "notes", first().part("middle"), "a line of one's own")
    plan = replace(plan, held=(*plan.held, whole))
    outcome = arrange(plan, count=3)
    assert [ranked.arrangement for ranked in outcome.arrangements] == [first()]
    assert distance(plan, first(), first()) == 0


def test_the_lead_needs_a_line_of_its_own_only_while_it_is_free() -> None:
    assert leads_differ(PLAN, Variety())
    assert leads_differ(holding(PLAN, "low", 1, 4), Variety())
    assert not leads_differ(holding(PLAN, "lead", 2, 2), Variety())
    assert not leads_differ(PLAN, Variety(near=lead(LEAD)))


def test_not_too_near_and_not_too_far() -> None:
    near, far = lead(LEAD.replace("A5", "B5")), lead(LEAD.replace("E5", "F5").replace("C5", "D5"))
    bounds = Variety((lead(LEAD),), 1 / 5, lead(LEAD), 1 / 3)
    assert not is_apart(PLAN, near, [], bounds)
    assert not is_apart(PLAN, far, [], bounds)
    assert is_apart(PLAN, lead(LEAD.replace("E5", "F5")), [], bounds)


def test_like_stays_near_and_the_found_differ_from_each_other() -> None:
    job = prepare(origin(), Wish(like=True, count=3))
    found = [ranked.arrangement for ranked in solved(job).arrangements]
    assert len(found) == 3
    least, most = NEAR
    assert all(least - 1e-9 <= job.distance(one) <= most + 1e-9 for one in found)
    assert all(distance(job.plan, one, other) >= least - 1e-9 for one, other in itertools.combinations(found, 2))


def test_unlike_keeps_far_from_all_that_was_seen() -> None:
    seen = tuple(ranked.arrangement for ranked in solved(prepare(origin(), Wish(count=1))).arrangements)
    job = prepare(origin(), Wish(unlike=True, seen=seen, count=2))
    found = [ranked.arrangement for ranked in solved(job).arrangements]
    assert len(found) == 2
    assert all(distance(job.plan, one, old) >= FAR - 1e-9 for one in found for old in (first(), *seen))
    assert distance(job.plan, *found) >= FAR - 1e-9
