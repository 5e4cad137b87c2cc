"""What held notes ask of rhythms: every line and every skeleton has them."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.held import Held
from solver.locks import ASPECTS, Lock, held_notes
from solver.rhythm.held_notes import Bound, bounds, held_lengths, strokes, wanted_strokes
from solver.rhythm.lines import family, is_fixed
from solver.rhythm.skeleton import note_slots
from tests.rework_briefs import NAME, TEXT, first
from tests.rules.small import notes_of, plan_of

PLAN = plan_from_text(TEXT, NAME)
BARS = st.none() | st.tuples(st.integers(1, 4), st.integers(1, 4)).map(lambda pair: (min(pair), max(pair)))
LOCKS = st.builds(Lock, st.sampled_from([part.name for part in PLAN.parts]), BARS, st.sampled_from(ASPECTS))
SMALL = plan_of("bars = 2; grid = 4", lead="", chords="")


def locked(*locks: Lock) -> Plan:
    return replace(PLAN, held=held_notes(map(str, locks), PLAN, first(), PLAN))


@settings(max_examples=40)
@given(LOCKS, st.integers(0, 99))
def test_every_line_and_its_slots_have_what_is_locked(lock: Lock, seed: int) -> None:
    plan = locked(lock)
    (held,) = plan.held
    part = plan.part(lock.part)
    lines = family(plan, part).draw(4, Random(seed))
    assert lines
    for line in lines:
        inside = [onset for onset in line.onsets if held.start <= onset < held.end]
        slots = [slot for slot in note_slots(plan, part, line.onsets) if held.start <= slot.onset < held.end]
        assert len(inside) == len(held.notes)
        if lock.aspect != "pitch":
            assert [(slot.onset, slot.length) for slot in slots] == [(n.onset, n.length) for n in held.notes]
        assert line.refused == ()
        free = [slot for slot in note_slots(plan, part, line.onsets) if slot not in slots]
        held_ends = [(note.onset, note.end) for note in held.notes if lock.aspect != "pitch"]
        assert not any(start < slot.onset < end for slot in free for start, end in held_ends)


def test_a_locked_return_binds_the_first_statement() -> None:
    plan = locked(Lock("lead", (3, 3)))
    own = tuple(note.onset for note in first().part("lead"))
    for line in family(plan, plan.part("lead")).draw(6, Random(1)):
        assert [onset for onset in line.onsets if onset < 8] == [onset for onset in own if onset < 8]


def test_a_whole_part_has_one_rhythm() -> None:
    plan = locked(Lock("lead"), Lock("low", (1, 2)))
    assert is_fixed(plan, plan.part("lead"))
    assert not is_fixed(plan, plan.part("low"))
    (line,) = family(plan, plan.part("lead")).draw(8, Random(1))
    assert line.onsets == tuple(note.onset for note in first().part("lead"))


def held(part: str, text: str, aspect: str, start: int = 0, end: int = 8) -> Plan:
    notes = Arrangement(notes_of(SMALL, part, text)).notes
    source = Held(part, start, end, "pitch" if aspect == "pitch" else "notes", notes, "a test")
    return replace(SMALL, held=(source,))


def test_a_note_that_sounds_on_lets_none_start_under_it() -> None:
    plan = held("lead", "C5 . . E5 | - - . .", "notes", end=4)
    assert bounds(plan, plan.part("lead")) == {
        0: Bound(frozenset(range(4)), frozenset({0, 3})),
        1: Bound(frozenset({0, 1})),
    }
    assert held_lengths(plan, plan.part("lead")) == {0: 1, 3: 3}


def test_pitches_go_to_the_notes_in_order() -> None:
    plan = held("lead", "C5 . E5 . | G5 . . .", "pitch")
    wanted = wanted_strokes(plan, plan.part("lead"), (1, 3, 5))
    assert [stroke[0].pitch for _, stroke in wanted.values()] == [72, 76, 79]
    assert list(wanted) == [0, 1, 2]


def test_chords_are_strokes() -> None:
    plan = held("chords", "C4+E4 . . . | D4+F4+A4 . . .", "notes")
    assert [len(stroke) for stroke in strokes(plan.held[0])] == [2, 3]
