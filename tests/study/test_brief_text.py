"""The brief that study writes: valid, a reason on each line, nothing asked for that the program's rules forbid."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.music.instruments import load_instruments
from solver.music.metre import Metre, parse_metre
from solver.search.outcome import Progress
from solver.search.pool import arrange
from solver.study.brief_text import NoBrief, brief_text
from solver.study.excerpt import excerpt_bars, first_bars, period_of
from solver.study.part_lines import widened
from solver.study.study import study_of
from solver.study.toml_lines import Line, bare_key, rendered, text_value
from tests.study.loops_in_text import Events, chord_bars, loop, repeated
from tests.study.studies import loop_study
from tests.study.writing import NAMES

LEAD: Events = [(0, 3, 76), (3, 3, 81), (6, 2, 79), (8, 4, 76), (12, 4, 72)]
VALUE = re.compile(r"^[a-z_]+ *= .+  # .+$")


@pytest.mark.parametrize("name", NAMES)
def test_read_brief_accepts_it(tmp_path: Path, name: str) -> None:
    path = tmp_path / f"{name}.toml"
    path.write_text(brief_text(loop_study(name)), encoding="utf-8")
    assert plan_from(read_brief(path)).parts


@pytest.mark.parametrize("name", NAMES)
def test_every_line_has_its_reason(name: str) -> None:
    for line in brief_text(loop_study(name)).splitlines():
        assert not line or line.startswith(("#", "[parts.")) or VALUE.match(line), line


def test_ranges_hold_the_notes_and_leave_room() -> None:
    studied = loop_study("mist-lanterns")
    plan = plan_from_text(brief_text(studied), "mist-lanterns")
    for part in studied.parts:
        planned = plan.part(part.name)
        assert planned.low <= part.low
        assert part.high <= planned.high
        assert planned.high - planned.low >= 12


@pytest.mark.parametrize(
    ("low", "high", "downwards", "wanted"),
    [
        (60, 67, False, (58, 70)),
        (60, 67, True, (55, 67)),
        (60, 75, True, (60, 75)),
        (42, 45, True, (40, 52)),  # the neck ends at E2: the rest is added above
        (84, 86, False, (74, 86)),  # and here at D6
    ],
)
def test_widened(low: int, high: int, downwards: bool, wanted: tuple[int, int]) -> None:
    guitar = load_instruments()["electric guitar"]
    assert widened(low, high, 12, (guitar.low, guitar.high), downwards) == wanted


def test_a_range_stays_where_the_role_lies() -> None:
    """A lead's place on a guitar is D4 to F#5: notes near its top are given room below."""
    made = loop(4, x=repeated([(0, 4, 73), (4, 4, 76), (8, 8, 78)], 4, 16), y=chord_bars((40, 47), (40, 47)) * 2)
    studied = study_of(Path("x.mid"), made)
    text = brief_text(studied)
    (lead,) = (part for part in plan_from_text(text, "x").parts if part.role == "lead")
    assert (lead.low, lead.high) == (66, 78)


def test_a_low_part_that_repeats_under_the_lead_is_not_asked_for() -> None:
    """Here the low part moves under each return of the lead; a brief that forbids it could not be arranged."""
    two_bars = [*LEAD, (16, 8, 79), (24, 8, 74)]
    made = loop(8, lead=repeated(two_bars, 4, 32), low=repeated([(0, 16, 45), (16, 16, 48)], 4, 32))
    plan = plan_from_text(brief_text(study_of(Path("x.mid"), made)), "x")
    assert plan.part("low").repeat_every is None
    assert plan.part("lead").repeat_every == 2


def test_a_background_busier_than_the_lead_may_play_less() -> None:
    made = loop(
        4,
        lead=repeated([*LEAD, (16, 16, 84)], 2, 32),
        middle=repeated([(4, 4, 64), (12, 4, 64)], 4, 16),
        low=repeated([(0, 16, 45)], 4, 16),
    )
    text = brief_text(study_of(Path("x.mid"), made))
    assert plan_from_text(text, "x").part("background").notes_per_bar == (1, 2)
    assert "fewer may do, so that it stays sparser than the lead" in text


def test_a_lead_without_a_repeat_says_so() -> None:
    tune = [(4 * i, 4, 64 + (5 * i) % 13) for i in range(32)]
    studied = study_of(Path("x.mid"), loop(8, lead=tune, low=chord_bars(*[(45,)] * 8)))
    text = brief_text(studied)
    assert "repeat_every  = 8" in text
    assert plan_from_text(text, "x").with_role("lead")[0].repeat_every is None


def test_a_metre_that_briefs_do_not_know() -> None:
    made = loop(4, Metre(9, 8, 18), lead=[(0, 6, 60), (20, 6, 64)])
    with pytest.raises(NoBrief, match="a brief has no metre 9/8"):
        brief_text(study_of(Path("x.mid"), made))


def test_names_and_titles_that_need_quotes() -> None:
    made = loop(4, one=[(0, 16, 40)], other=repeated(LEAD, 4, 16))
    low, lead = made.parts
    made = made.with_parts((replace(low, given='Lo"w'), replace(lead, given="Ü é!")))
    studied = study_of(Path('a "title" \\ with\ttabs.mid'), made)
    plan = plan_from_text(brief_text(studied), "x")
    assert [part.name for part in plan.parts] == ["U e", "Lo w"]
    assert plan.title == 'A "title" \\ with tabs'


@pytest.mark.parametrize(("tempo", "wanted"), [(20.0, 30), (400.0, 300), (97.53, 97.53)])
def test_tempos_that_briefs_know(tempo: float, wanted: float) -> None:
    made = replace(loop(4, lead=repeated(LEAD, 4, 16)), tempo=tempo)
    assert plan_from_text(brief_text(study_of(Path("x.mid"), made)), "x").tempo == wanted


def test_more_parts_than_a_brief_has() -> None:
    parts = {f"p{index}": repeated([(0, 4, 40 + 6 * index), (8, 4, 43 + 6 * index)], 4, 16) for index in range(8)}
    plan = plan_from_text(brief_text(study_of(Path("x.mid"), loop(4, **parts))), "x")
    assert len(plan.parts) == 6
    assert plan.with_role("lead")
    assert plan.with_role("low")


def test_exact_repeats_of_a_loop_are_left_out() -> None:
    four = repeated([*LEAD, (16, 16, 79), *[(o + 32, n, p - 2) for o, n, p in LEAD], (48, 16, 72)], 1, 64)
    made = loop(32, lead=repeated(four, 8, 64))
    assert period_of(made) == 4
    assert excerpt_bars(made, 4) == 8
    assert plan_from_text(brief_text(study_of(Path("x.mid"), made)), "x").bars == 8
    assert period_of(first_bars(made, 6)) == 6


@pytest.mark.parametrize(
    ("bars", "pass_bars", "wanted"), [(64, 4, 16), (64, 64, 16), (40, 20, 20), (12, 4, 12), (33, 3, 15)]
)
def test_of_a_long_piece_the_first_passes(bars: int, pass_bars: int, wanted: int) -> None:
    tune = [(16 * bar, 8, 50 + (bar * bar + 3 * bar) % 29) for bar in range(bars)]
    made = loop(bars, lead=tune)
    assert excerpt_bars(made, pass_bars) == wanted
    assert first_bars(made, wanted).bars == wanted


def test_parts_that_are_silent_in_the_excerpt_are_left_out() -> None:
    made = loop(8, one=[(0, 40, 60)], other=[(100, 4, 62)])
    short = first_bars(made, 2)
    assert [(part.name, part.notes[0].length) for part in short.parts] == [("one", 32)]


def test_lines_are_in_columns_and_values_are_toml() -> None:
    lines = rendered([Line("a", "1", "why"), Line("longer", '"x"', "two\nlines")])
    assert lines == ["a      = 1    # why", 'longer = "x"  # two lines']
    assert text_value('a "b"') == '"a \\"b\\""'
    assert (bare_key("lead-2"), bare_key("lead 2")) == ("lead-2", '"lead 2"')


@given(
    st.lists(
        st.lists(st.tuples(st.integers(0, 60), st.integers(1, 16), st.integers(28, 86)), min_size=1, max_size=12),
        min_size=1,
        max_size=7,
    ),
    st.sampled_from(["4/4", "3/4", "6/8", "7/8"]),
)
@settings(deadline=None, max_examples=25)
def test_whatever_is_played_the_brief_is_valid(parts: list[Events], metre: str) -> None:
    made = parse_metre(metre)
    slots = 8 * made.grid
    clipped = {
        f"p{index}": sorted({(onset, min(length, slots - onset), pitch) for onset, length, pitch in events})
        for index, events in enumerate(parts)
    }
    studied = study_of(Path("x.mid"), loop(8, made, **clipped))
    plan = plan_from_text(brief_text(studied), "x")
    assert plan.bars <= 32


@pytest.mark.parametrize("name", ["down-the-slip", "tide-table"])
def test_a_brief_that_was_written_can_be_arranged(name: str) -> None:
    """Down the slip falls from the same note under each return of its lead, which is not asked for here."""
    plan = plan_from_text(brief_text(loop_study(name)), name)
    found: list[float] = []

    def progressed(progress: Progress) -> None:
        found.extend([] if progress.best is None else [progress.best])

    outcome = arrange(plan, count=1, on_progress=progressed, stop=lambda: bool(found))
    assert outcome.arrangements or found
