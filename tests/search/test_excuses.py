"""Rules that held notes break by themselves: excused for them, named, and for nobody else."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from solver.arrangement import Arrangement
from solver.check import breaches
from solver.rework import Wish, prepare
from solver.rhythm.skeletons import skeletons
from solver.rules import (
    chord_approach,
    density,
    in_range,
    in_scale,
    low_life,
    one_at_a_time,
    register_order,
    repeats,
    strong_beats,
)
from solver.search.excuses import broken_by_held, is_witness
from solver.search.solve import Watch
from tests.rework_briefs import first, origin, solved


def edited(part: str, **changes: dict[int, Any]) -> Arrangement:
    """The arrangement with other values for some of a part's notes, by index."""
    own = list(first().part(part))
    for name, values in changes.items():
        for index, value in values.items():
            own[index] = replace(own[index], **{name: value})
    return Arrangement((*(note for note in first().notes if note.part != part), *own))


def count(part: str) -> range:
    return range(len(first().part(part)))


def under_the_lead() -> int:
    """The shortest note of the low part that sounds with one of the lead's."""
    slots = {slot for note in first().part("lead") for slot in range(note.onset, note.onset + note.length)}
    low = first().part("low")
    sounding = [i for i in count("low") if slots & set(range(low[i].onset, low[i].onset + low[i].length))]
    return min(sounding, key=lambda i: low[i].length)


def other_rhythm_at_the_end() -> Arrangement:
    """A note of the lead's last bar begins a slot later, where its first statement starts none."""
    own = first().part("lead")
    index = next(i for i, note in enumerate(own) if note.onset >= 24 and note.length > 1)
    return edited("lead", onset={index: own[index].onset + 1}, length={index: own[index].length - 1})


def two_at_once() -> Arrangement:
    """The low part's first note with another one an octave above."""
    one = first().part("low")[0]
    return Arrangement((*first().notes, replace(one, pitch=one.pitch + 12)))


@pytest.mark.parametrize(
    ("arrangement", "locks", "changes", "rules"),
    [
        (edited("low", pitch=dict.fromkeys(count("low"), 45)), ("low",), (), {chord_approach.NAME, low_life.NAME}),
        (
            edited("low", pitch={under_the_lead(): 80}),
            ("low", "lead"),
            (),
            {in_range.NAME, in_scale.NAME, register_order.NAME},
        ),
        (edited("low", length={0: 7}), ("low",), (), {one_at_a_time.NAME}),
        (first(), ("lead",), ('chords = ["Am", "G"]',), {strong_beats.NAME}),
        (first(), ("low:2",), ("parts.low.notes_per_bar = [4, 5]",), {density.NAME}),
        (first(), ("lead",), ("parts.lead.vary_notes = [0, 0]",), {repeats.NAME}),
        (other_rhythm_at_the_end(), ("lead",), (), {repeats.NAME}),
        (two_at_once(), ("low",), (), {one_at_a_time.NAME}),
    ],
    ids=["one note", "crossing", "overlap", "chord", "density", "repeat", "rhythm of the varied bar", "two at once"],
)
def test_what_locked_notes_break_is_excused_and_named(
    arrangement: Arrangement, locks: tuple[str, ...], changes: tuple[str, ...], rules: set[str]
) -> None:
    job = prepare(replace(origin(), arrangement=arrangement), Wish(locks, changes))
    assert not is_witness(job.plan, arrangement)
    (ranked,) = solved(job).arrangements
    for held in job.plan.held:
        inside = tuple(n for n in ranked.arrangement.part(held.part) if held.start <= n.onset < held.end)
        assert inside == held.notes
    assert rules <= {breach.rule for breach in ranked.excused}
    assert set(breaches(job.plan, ranked.arrangement)) == set(ranked.excused)
    assert {breach.part for breach in ranked.excused} <= {held.part for held in job.plan.held}


def test_another_rhythm_in_the_varied_bar_counts_as_varied_notes() -> None:
    """A note that only one of the two bars has is one that differs; with as many as that, nothing is broken."""
    own, moved = (made.part("lead") for made in (first(), other_rhythm_at_the_end()))
    at = {note.onset: note.pitch for note in moved}
    differ = {slot for slot in range(8, 16) if at.get(slot) != at.get(slot + 16)}
    assert len(moved) == len(own)
    assert len(differ) > 1
    for most, rules in ((len(differ), set()), (len(differ) - 1, {repeats.NAME})):
        job = prepare(
            replace(origin(), arrangement=other_rhythm_at_the_end()),
            Wish(("lead",), (f"parts.lead.vary_notes = [1, {most}]",)),
        )
        (ranked,) = solved(job).arrangements
        assert {breach.rule for breach in ranked.excused} & {repeats.NAME} == rules


def test_the_excuse_is_not_larger_than_the_fault() -> None:
    """Locked bar 2 has too few notes; the others have as many as asked."""
    job = prepare(origin(), Wish(("low:2",), ("parts.low.notes_per_bar = [4, 5]",)))
    (ranked,) = solved(job).arrangements
    grid = job.plan.metre.grid
    assert {breach.slot for breach in ranked.excused if breach.rule == density.NAME} == {grid}


def test_what_the_brief_breaks_without_the_held_notes_is_not_excused() -> None:
    """The low range has no root, and the lead is held."""
    plan = prepare(origin(), Wish(("lead",), ('parts.low.range = "E2..G#2"',))).plan
    watch = Watch(lambda: False)
    assert broken_by_held(plan, next(skeletons(plan, 0)), watch) == frozenset()
    watch.close()
