"""Ground truth: every reference loop is studied and compared with what it was made from."""

from __future__ import annotations

import pytest

from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.study.brief_text import brief_text
from solver.study.study import PartStudy, Study
from tests.study.studies import loop_study
from tests.study.writing import FOLDER, NAMES, ReferenceLoop, read_loop

SHARE_OF_ROLES = 0.9


def part_of(studied: Study, loop: ReferenceLoop, name: str) -> PartStudy:
    """The study of a part. Parts written into one track have no names: they are known by their order."""
    if not loop.one_track:
        return studied.part(name)
    return studied.parts[list(loop.parts).index(name)]


def test_there_are_enough_loops_and_they_differ() -> None:
    loops = [read_loop(name) for name in NAMES]
    assert len(loops) >= 12
    assert len({loop.metre for loop in loops}) >= 6
    assert len({loop.brief["key"] for loop in loops}) >= 12
    assert {len(loop.parts) for loop in loops} >= {1, 2, 3, 5}
    assert {part["role"] for loop in loops for part in loop.brief["parts"].values()} == {
        "lead",
        "low",
        "background",
        "chords",
        "counter",
    }


@pytest.mark.parametrize("name", NAMES)
def test_the_loops_briefs_are_valid(name: str) -> None:
    assert plan_from(read_brief(FOLDER / f"{name}.toml")).bars == read_loop(name).brief["bars"]


@pytest.mark.parametrize("name", NAMES)
def test_bars_metre_tempo_and_grid(name: str) -> None:
    loop, studied = read_loop(name), loop_study(name)
    found = studied.loop.metre
    assert (found.numerator, found.denominator, found.grid) == (*loop.metre, loop.grid)
    assert studied.bars == loop.brief["bars"]
    assert studied.tempo == pytest.approx(loop.brief["tempo"], abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_chords_exactly(name: str) -> None:
    loop, studied = read_loop(name), loop_study(name)
    assert list(studied.chords) == loop.chords
    assert [studied.symbol(studied.harmony.at(slot)) for slot in range(studied.loop.slots)] == loop.chord_slots


@pytest.mark.parametrize("name", NAMES)
def test_the_key_is_found_or_named(name: str) -> None:
    loop, studied = read_loop(name), loop_study(name)
    names = [key.name for key in studied.keys.candidates]
    assert loop.brief["key"] in names
    if studied.keys.certain:
        assert names[0] == loop.brief["key"]


@pytest.mark.parametrize("name", NAMES)
def test_repeat_and_variation_exactly(name: str) -> None:
    loop, studied = read_loop(name), loop_study(name)
    for part, wanted in loop.brief["parts"].items():
        found = part_of(studied, loop, part)
        if "repeat_every" in wanted:
            assert found.repeat is not None, part
            assert found.repeat.every == wanted["repeat_every"], part
            varied = [list(studied.loop.metre.bar_and_beat(slot)) for slot in found.repeat.varied]
            assert varied == loop.varied[part], part
        else:
            assert found.repeat is None, part


def test_roles_in_nine_of_ten() -> None:
    found = [
        (name, part, part_of(loop_study(name), loop, part).role, wanted["role"])
        for name in NAMES
        for loop in [read_loop(name)]
        for part, wanted in loop.brief["parts"].items()
    ]
    wrong = [entry for entry in found if entry[2] != entry[3]]
    assert len(wrong) <= (1 - SHARE_OF_ROLES) * len(found), wrong


@pytest.mark.parametrize("name", NAMES)
def test_the_number_of_parts(name: str) -> None:
    assert len(loop_study(name).parts) == len(read_loop(name).parts)


@pytest.mark.parametrize("name", NAMES)
def test_the_brief_it_writes_asks_for_the_same(name: str) -> None:
    """What the original brief says and what can be heard comes back: bars, metre, chords, roles, repeats."""
    loop, studied = read_loop(name), loop_study(name)
    written = plan_from_text(brief_text(studied), name)
    original = plan_from(read_brief(FOLDER / f"{name}.toml"))
    assert (written.bars, written.metre, written.tempo) == (original.bars, original.metre, original.tempo)
    spans = [(span.start, span.end, span.chord.symbol) for span in written.spans]
    wanted = [(span.start, span.end, span.chord.symbol) for span in original.spans]
    one_chord = len({symbol for _, _, symbol in wanted}) == 1
    assert {s[2] for s in spans} == {s[2] for s in wanted} if one_chord else spans == wanted
    for part, wanted_part in loop.brief["parts"].items():
        found = written.part(part_of(studied, loop, part).name)
        assert found.role == part_of(studied, loop, part).role
        if found.role == "lead":
            assert found.repeat_every == wanted_part.get("repeat_every")
