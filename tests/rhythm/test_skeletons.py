"""Skeletons: different, as many as are wanted, the same for the same seed, and admitted by every rule."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from random import Random

import pytest

from solver.brief.plan import Plan
from solver.held import Held
from solver.rhythm.lines import Family, Line
from solver.rhythm.skeleton import Onsets, Skeleton, skeleton_from
from solver.rhythm.skeletons import NoRhythm, every_rhythm, skeletons
from tests.rhythm.examples import NAMES, example
from tests.rules.small import notes_of, plan_of
from tests.search.random_briefs import is_admitted


def first(plan: Plan, count: int, seed: int = 0) -> list[Skeleton]:
    return list(islice(skeletons(plan, seed), count))


def key(skeleton: Skeleton) -> tuple[tuple[str, Onsets], ...]:
    return tuple(sorted(skeleton.onsets.items()))


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_admits_them(name: str) -> None:
    plan = example(name)
    found = first(plan, 24)
    assert len({key(skeleton) for skeleton in found}) == 24
    for skeleton in found:
        assert skeleton == skeleton_from(plan, skeleton.onsets)
        assert list(skeleton.slots) == [part.name for part in plan.parts]
        assert is_admitted(plan, skeleton.onsets)


def test_a_background_with_more_room_than_the_lead_is_made_sparser() -> None:
    """The best lines of a broken chord in 5/4 have more notes than a lead may have."""
    plan = plan_of('meter = "5/4"; bars = 4', lead="", background='figure = "broken chord"')
    found = first(plan, 3)
    assert len({key(skeleton) for skeleton in found}) == 3
    for skeleton in found:
        assert len(skeleton.onsets["background"]) <= len(skeleton.onsets["lead"])
        assert is_admitted(plan, skeleton.onsets)


def test_there_are_hundreds_and_all_differ() -> None:
    found = first(example("ferry-lights"), 1500)
    assert len({key(skeleton) for skeleton in found}) == len(found) == 1500


def test_the_first_ones_have_leads_of_their_own() -> None:
    plan = example("ferry-lights")
    found = first(plan, 12)
    grid = plan.metre.grid
    cells = {tuple(onset for onset in skeleton.onsets["lead"] if onset < grid) for skeleton in found}
    assert len(cells) == 12


def test_the_same_seed_gives_the_same() -> None:
    plan = example("deckhands-waltz")
    assert [key(skeleton) for skeleton in first(plan, 40, 3)] == [key(skeleton) for skeleton in first(plan, 40, 3)]
    assert [key(skeleton) for skeleton in first(plan, 40, 3)] != [key(skeleton) for skeleton in first(plan, 40, 4)]


def test_one_rhythm_alone() -> None:
    """The low part starts with each of eight chords a bar: there is one way to do so."""
    plan = plan_of('grid = 8; chords = ["C", "F"]; chord_bars = 0.125', low="notes_per_bar = [8, 8]")
    assert first(plan, 1)[0].onsets == {"low": tuple(range(8))}


def test_no_rhythm_of_a_part() -> None:
    plan = plan_of('chords = ["C", "F"]; chord_bars = 0.125', lead="", background="notes_per_bar = [1, 3]")
    with pytest.raises(NoRhythm, match="no rhythm of background keeps every rule"):
        first(plan, 1)


def test_no_rhythm_of_all_parts_together() -> None:
    plan = plan_of(lead="notes_per_bar = [2, 2]", background="notes_per_bar = [4, 5]")
    with pytest.raises(NoRhythm, match="no rhythm was found in which the parts go together"):
        first(plan, 1)


SYNCOPATED_NOWHERE = "notes_per_bar = [12, 12]; repeat_every = 4"  # a note on every strong slot; two million layouts


@pytest.mark.parametrize(("most", "asks"), [(30, 30), (10**9, 7)])
def test_the_layouts_of_a_part_are_looked_through_to_a_limit_or_until_it_is_to_stop(
    most: int, asks: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("solver.rhythm.lines.TRIES", 1)
    monkeypatch.setattr("solver.rhythm.skeletons.LAYOUTS", most)
    asked: list[int] = []

    def stopped() -> bool:
        asked.append(1)
        return len(asked) == asks and asks < most

    with pytest.raises(NoRhythm, match="no rhythm of lead was found that keeps every rule") as error:
        next(skeletons(plan_of("tempo = 60; bars = 8", lead=SYNCOPATED_NOWHERE), 0, stopped))
    assert not error.value.every
    assert len(asked) == asks


def test_a_round_that_finds_no_rhythm_after_one_that_did_is_not_the_end_of_all(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.rhythm.skeletons.LAYOUTS", 0)
    drawn = Family.draw
    draws: list[int] = []

    def draw(rhythms: Family, count: int, random: Random) -> list[Line]:
        draws.append(1)
        return drawn(rhythms, count, random) if len(draws) == 1 else []

    monkeypatch.setattr(Family, "draw", draw)
    assert len(first(plan_of("grid = 4", low="notes_per_bar = [2, 2]"), 100)) == 3
    assert len(draws) > 1


def test_few_rhythms_come_to_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a grid of beats a low part of two notes, the first with the chord, has three rhythms."""
    monkeypatch.setattr("solver.rhythm.skeletons.ROUNDS", 2)
    found = first(plan_of("grid = 4", low="notes_per_bar = [2, 2]"), 100)
    assert sorted(skeleton.onsets["low"] for skeleton in found) == [(0, 1), (0, 2), (0, 3)]


def test_held_notes_close_to_a_bar_line_leave_a_rhythm() -> None:
    """The low part has to start a note with each chord, a sixteenth after one that is held."""
    plan = plan_of('bars = 2; chords = ["C", "F"]; chord_bars = 1', low='range = "E2..E3"')
    notes = notes_of(plan, "low", "C3 . . . . . . . . . . . . . . C3 | . . . .")
    held = replace(plan, held=(Held("low", 0, 16, "notes", notes, "a test"),))
    skeleton = next(skeletons(held, 0))
    assert skeleton.onsets["low"][:3] == (0, 15, 16)


@pytest.mark.parametrize("name", NAMES)
def test_combinations_of_the_best_lines(name: str) -> None:
    plan = example(name)
    found = every_rhythm(plan, 0, 60)
    assert len(found) == len({tuple(rhythm.items()) for rhythm in found}) == 60
    assert all(is_admitted(plan, rhythm) for rhythm in found)
    assert found == every_rhythm(plan, 0, 60)


def test_more_combinations_have_the_best_of_fewer() -> None:
    plan = plan_of("bars = 4; grid = 8", lead="repeat_every = 4", low="")
    few, more = every_rhythm(plan, 0, 20), every_rhythm(plan, 0, 200)
    assert len(more) == 200
    assert all(rhythm in more for rhythm in few)


def test_leads_whose_bars_have_one_rhythm_come_among_the_first() -> None:
    plan = plan_of("bars = 8; chord_bars = 2", lead="", low="")
    leads = [rhythm["lead"] for rhythm in every_rhythm(plan, 0, 100)]
    statement = plan.metre.grid
    assert any(
        {onset % statement for onset in lead} == {onset for onset in lead if onset < statement} for lead in leads
    )


def test_few_combinations_are_all_there_are() -> None:
    found = every_rhythm(plan_of("grid = 4", low="notes_per_bar = [2, 2]"), 0, 1000)
    assert sorted(rhythm["low"] for rhythm in found) == [(0, 1), (0, 2), (0, 3)]


def test_no_combination_of_all_parts() -> None:
    plan = plan_of(lead="notes_per_bar = [2, 2]", background="notes_per_bar = [4, 5]")
    with pytest.raises(NoRhythm, match="no rhythm was found in which the parts go together"):
        every_rhythm(plan, 0, 10)
