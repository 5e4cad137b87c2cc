"""The plan of a brief: what is given, what is filled in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.brief.errors import BriefError, BriefErrors
from solver.brief.part_table import Part
from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.brief.schema import Brief
from solver.search.weights import load_weights
from tests.brief.texts import GOOD, errors_of, with_part, with_top

FERRY_LIGHTS = Path(__file__).parents[2] / "briefs" / "ferry-lights.toml"


def test_ferry_lights() -> None:
    plan = plan_from(read_brief(FERRY_LIGHTS))
    assert (plan.name, plan.title, plan.key.name, plan.tempo) == ("ferry-lights", "Ferry lights", "B minor", 138.0)
    assert (plan.metre.name, plan.metre.grid, plan.bars, plan.slots) == ("4/4", 16, 8, 128)
    assert (plan.seed, plan.count) == (0, 6)
    assert [part.name for part in plan.parts] == ["lead", "low", "middle"]
    assert [part.name for part in plan.by_rank] == ["lead", "middle", "low"]
    lead = plan.part("lead")
    assert (lead.notes_per_bar, lead.repeat_every, lead.vary_notes, lead.max_leap) == ((3, 5), 4, (1, 2), 12)
    assert (lead.figure, lead.motion, lead.texture, lead.is_line) == ("few notes", "free", "single", True)
    middle = plan.part("middle")
    assert (middle.instrument.name, middle.longest, middle.repeat_every) == ("muted electric guitar", 4, 4)
    assert plan.bass is plan.part("low")


def test_the_notes_of_the_scale_under_a_chord_of_another_scale() -> None:
    text = GOOD.replace('"B minor"', '"A minor"').replace('["Bm", "G"]', '["Am", "E7"]')
    first, second, *_ = plan_from_text(text, "pier").spans
    assert {7, 8} & first.scale == {7}
    assert {7, 8} & second.scale == {8}


def test_what_the_brief_gives_is_kept() -> None:
    text = with_part(
        'role = "counter"',
        'instrument = "acoustic guitar"',
        'tuning = "drop D"',
        "capo = 2",
        'range = "G3..G5"',
        "notes_per_bar = [0, 2]",
        "repeat_every = 2",
        "vary_notes = [0, 1]",
        'figure = "steps"',
        'motion = "up"',
        'texture = "dyads"',
    )
    more = 'tempo = 99.5\nmeter = "3/4"\ngrid = 6\nseed = 5\ncount = 3\n'
    more += 'prefer = { small_moves = 2, "few pitches in the lead" = 0.5 }\n'
    plan = plan_from_text(more + text, "pier")
    part = plan.part("more")
    assert (part.role, part.instrument.name, part.instrument.capo) == ("counter", "acoustic guitar", 2)
    assert part.instrument.tuning[0] == 40  # D2 and two frets
    assert (part.low, part.high, part.notes_per_bar) == (55, 79, (0, 2))
    assert (part.repeat_every, part.vary_notes) == (2, (0, 1))
    assert (part.figure, part.motion, part.texture) == ("steps", "up", "dyads")
    assert (plan.tempo, plan.metre.name, plan.metre.grid, plan.seed, plan.count) == (99.5, "3/4", 6, 5, 3)
    usual = load_weights()
    assert plan.weights["small moves"] == 200 * usual["small moves"]
    assert plan.weights["few pitches in the lead"] == 50 * usual["few pitches in the lead"]


def test_a_part_that_repeats_without_being_a_lead_repeats_exactly() -> None:
    assert plan_from_text(with_part('role = "counter"', "repeat_every = 2"), "pier").part("more").vary_notes == (0, 0)


def test_a_lead_of_one_note_a_bar_varies_one() -> None:
    text = with_part('role = "lead"', "notes_per_bar = [1, 1]")
    assert plan_from_text(text, "pier").part("more").vary_notes == (1, 1)


def test_nothing_varies_where_nothing_repeats() -> None:
    text = with_part('role = "lead"', "repeat_every = 8")
    part = plan_from_text(text, "pier").part("more")
    assert (part.repeat_every, part.vary_notes) == (None, (0, 0))


def test_a_broken_chord_in_the_role_chords_is_a_line_that_rings() -> None:
    part = plan_from_text(with_part('role = "chords"', 'figure = "broken chord"'), "pier").part("more")
    assert (part.texture, part.rings, part.is_line) == ("single", True, True)
    part = plan_from_text(with_part('role = "chords"'), "pier").part("more")
    assert (part.texture, part.rings, part.is_line) == ("chords", False, False)


def test_roles_that_occur_twice_stand_in_the_order_of_the_brief() -> None:
    roles = ["low", "lead", "chords", "lead", "background", "low"]
    text = GOOD.split("[parts")[0] + "".join(f'[parts.p{n}]\nrole = "{role}"\n' for n, role in enumerate(roles))
    plan = plan_from_text(text, "pier")
    assert [part.name for part in plan.by_rank] == ["p1", "p3", "p4", "p2", "p0", "p5"]
    assert [part.rank for part in plan.by_rank] == [0, 1, 2, 3, 4, 5]
    assert plan.bass is plan.part("p5")
    assert (plan.part("p1").low, plan.part("p1").high) == (plan.part("p3").low, plan.part("p3").high)


def test_a_part_named_after_a_role_needs_no_more() -> None:
    text = GOOD.split("[parts")[0] + "[parts.lead]\n[parts.background]\n[parts.low]\n"
    assert [part.role for part in plan_from_text(text, "pier").parts] == ["lead", "background", "low"]


def test_a_lead_alone_reaches_lower() -> None:
    text = GOOD.split("[parts.low")[0]
    assert plan_from_text(text, "pier").part("lead").low == 52


def test_the_workspace_has_its_own_instruments(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tmp_path / "shared" / "instruments.toml"
    table.parent.mkdir()
    table.write_text(
        '["pier lute"]\ntuning = ["D2", "A2", "D3"]\nfrets = 12\nhand_span = 4\nchord_span = 4\nprogram = 24\n'
        'sound = "nylon"\n',
        encoding="utf-8",
    )
    monkeypatch.chdir(tmp_path)
    text = GOOD.replace('role = "low"', 'role = "low"\ninstrument = "pier lute"').replace(
        'role = "lead"', 'role = "lead"\ninstrument = "pier lute"'
    )
    assert plan_from_text(text, "pier").part("low").low == 38
    assert 'no instrument is called "electric guitar"; ' in str(errors_of(GOOD)[0])


def test_a_table_of_instruments_that_is_wrong_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tmp_path / "shared" / "instruments.toml"
    table.parent.mkdir()
    table.write_text("frets = 3\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    (error,) = errors_of(GOOD)
    assert str(error).startswith(f"{table}: frets: ")


def outcome(text: str) -> tuple[BriefError, ...]:
    """The errors of a text; any exception but BriefErrors fails the test."""
    try:
        plan_from_text(text, "pier")
    except BriefErrors as errors:
        return errors.errors
    return ()


@given(st.text(max_size=120))
@settings(deadline=None)
def test_any_text_gives_a_plan_or_errors(text: str) -> None:
    assert outcome(text)  # no text as short as this is a brief


SCALARS = (
    st.integers(-3, 40)
    | st.integers()
    | st.floats()
    | st.booleans()
    | st.text(max_size=8)
    | st.sampled_from(["lead", "low", "E3..E5", "Am", "3/4", "A minor", "bass guitar", "drop D", "dyads", "steps"])
)
VALUES = SCALARS | st.lists(SCALARS, max_size=3) | st.lists(st.lists(SCALARS, max_size=2), max_size=2)
TOP_KEYS = st.sampled_from([name for name in Brief.model_fields if name != "parts"])
PART_KEYS = st.sampled_from([*Part.model_fields, "colour"])


@given(st.dictionaries(TOP_KEYS, VALUES, max_size=5), st.dictionaries(PART_KEYS, VALUES, max_size=5))
@settings(deadline=None, max_examples=200)
def test_any_values_give_a_plan_or_errors_at_their_keys(top: dict[str, object], part: dict[str, object]) -> None:
    whole = {"key": "B minor", "bars": 8, "chords": ["Bm", "G"], **top}
    lines = [*_lines(whole), "[parts.one]", *_lines({"role": "lead", **part})]
    for error in outcome("\n".join(lines)):
        assert error.line is not None
        assert 1 <= error.line <= len(lines)
        assert "; " in str(error)


def _lines(values: dict[str, object]) -> list[str]:
    return [f"{key} = {_toml(value)}" for key, value in values.items()]


def _toml(value: object) -> str:
    """A value as TOML writes it."""
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, list):
        return f"[{', '.join(_toml(item) for item in value)}]"
    return json.dumps(value, ensure_ascii=False)


@given(
    st.sampled_from(["4/4", "3/4", "2/4", "5/4", "6/8", "7/8", "12/8"]),
    st.integers(1, 32),
    st.lists(st.sampled_from(["lead", "low", "background", "chords", "counter"]), min_size=1, max_size=6),
    st.sampled_from(["electric guitar", "muted electric guitar", "bass guitar", "nylon guitar", "baritone guitar"]),
    st.sampled_from(["few notes", "broken chord", "steps"]),
    st.integers(0, 12),
)
@settings(deadline=None)
def test_every_default_is_possible(
    meter: str, bars: int, roles: list[str], instrument: str, figure: str, capo: int
) -> None:
    more = f'instrument = "{instrument}"\nfigure = "{figure}"\ncapo = {capo}\n'
    parts = "".join(f'[parts.p{number}]\nrole = "{role}"\n{more}' for number, role in enumerate(roles))
    plan = plan_from_text(f'key = "D dorian"\nbars = {bars}\nmeter = "{meter}"\nchords = ["Dm"]\n{parts}', "pier")
    for part in plan.parts:
        assert part.instrument.low <= part.low <= part.high - 12
        assert part.high <= part.instrument.high
        assert 1 <= part.notes_per_bar[0] <= part.notes_per_bar[1] <= plan.metre.grid
        assert 0 <= part.vary_notes[0] <= part.vary_notes[1] <= part.notes_per_bar[1]
        assert part.repeat_every is None or plan.bars % part.repeat_every == 0
        assert part.longest >= 1
    assert sorted(part.rank for part in plan.parts) == list(range(len(roles)))
    assert plan.spans[-1].end == plan.slots


def test_a_key_of_the_whole_brief_in_the_wrong_place_says_so() -> None:
    (error,) = errors_of(GOOD + "count = 3\n")
    assert (error.line, error.right) == (11, "it belongs to the whole brief: write it above the first table")
    assert errors_of(with_top("count = 3")) == ()


def test_a_brief_without_a_title_has_one_from_its_name() -> None:
    assert plan_from_text(GOOD.replace("title", "# title"), "low-tide").title == "Low tide"
