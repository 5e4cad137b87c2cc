"""The picture: every note drawn once, marks where they belong, nothing from outside, readable without colour."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree.ElementTree import Element, fromstring

import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.export.picture import describe, layout_of, picture_svg
from solver.export.picture.marks import outside_notes, varied_notes
from solver.export.picture.strands import STRANDS, strands_of
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

SVG = "{http://www.w3.org/2000/svg}"


def drawn(plan: Plan, arrangement: Arrangement) -> Element:
    return fromstring(picture_svg(plan, arrangement))


def of_class(svg: Element, *names: str) -> list[Element]:
    return [item for item in svg.iter() if set(names) <= set(item.get("class", "").split())]


def legend_knots(plan: Plan) -> int:
    """Closed knots that are no notes: one for each part in the legend, and one beside its name in each row."""
    arrangement = sample_arrangement(plan)
    return len(plan.parts) * (1 + len(layout_of(plan, arrangement).rows))


@pytest.mark.parametrize("name", TEXTS)
def test_every_note_has_one_knot_open_outside_its_chord_and_a_flag_where_varied(name: str) -> None:
    plan = sample_plan(name)
    arrangement = sample_arrangement(plan)
    svg = drawn(plan, arrangement)
    outside = len(outside_notes(plan, arrangement))
    assert len(of_class(svg, "knot")) == len(arrangement.notes) - outside + legend_knots(plan)
    assert len(of_class(svg, "open")) == outside + 1
    has_sign = any(part.repeat_every for part in plan.parts)
    assert len(of_class(svg, "flag")) == len(varied_notes(plan, arrangement)) + has_sign


@pytest.mark.parametrize("name", TEXTS)
def test_bars_chords_parts_key_and_tempo_are_named(name: str) -> None:
    plan = sample_plan(name)
    svg = drawn(plan, sample_arrangement(plan))
    words = ["".join(text.itertext()) for text in svg.iter(f"{SVG}text")]
    assert plan.title in words
    assert any(plan.key.name in line and f"{plan.tempo:g} quarter" in line for line in words)
    assert {str(bar + 1) for bar in range(plan.bars)} <= set(words)
    assert {span.chord.symbol for span in plan.spans} <= set(words)
    assert all(any(line.startswith(part.name) for line in words) for part in plan.parts)
    assert svg.find(f"{SVG}title") is not None
    described = svg.find(f"{SVG}desc")
    assert described is not None
    assert all(part.name in (described.text or "") for part in plan.parts)


def test_equal_input_gives_equal_text_and_nothing_comes_from_outside() -> None:
    plan = sample_plan("night-ferry")
    text = picture_svg(plan, sample_arrangement(plan))
    assert text == picture_svg(plan, sample_arrangement(plan))
    assert "<script" not in text
    assert "href" not in text
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    assert set(re.findall(r"url\((.)", text)) == {"#"}


def test_letters_that_xml_reserves_are_shown_as_they_are() -> None:
    plan = replace(sample_plan("ferry-lights"), title="Rope & <Anchor>")
    svg = drawn(plan, sample_arrangement(plan))
    assert "Rope & <Anchor>" in [text.text for text in svg.iter(f"{SVG}text")]


def test_no_two_of_six_parts_share_a_colour_a_lay_or_a_knot() -> None:
    plan = sample_plan("night-ferry")
    six = replace(plan, parts=(*plan.parts, replace(plan.parts[0], name="second lead")))
    looks = list(strands_of(six).values())
    assert len(looks) == 6
    for aspect in ("light", "dark", "lay", "knot"):
        assert len({getattr(look, aspect) for look in looks}) == 6


def luminance(colour: str) -> float:
    """Relative luminance (W3C, Web Content Accessibility Guidelines 2.1)."""
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_every_colour_stands_out_from_its_paper() -> None:
    from solver.export.picture.style import BAND, INK, PAPER, SOFT_INK

    for paper in (PAPER, BAND):
        for look in STRANDS:
            assert contrast(look.light, paper[0]) >= 3
            assert contrast(look.dark, paper[1]) >= 3
        for ink in (INK, SOFT_INK):
            assert contrast(ink[0], paper[0]) >= 4.5
            assert contrast(ink[1], paper[1]) >= 4.5


def test_no_text_is_smaller_than_thirteen_units_of_twelve_hundred() -> None:
    plan = sample_plan("ferry-lights")
    sizes = [float(size) for size in re.findall(r"font-size:([\d.]+)px", picture_svg(plan, sample_arrangement(plan)))]
    assert min(sizes) >= 13


def test_higher_pitches_stand_higher_and_later_notes_further_right() -> None:
    plan = sample_plan("ferry-lights")
    arrangement = Arrangement((Note("lead", 0, 2, 66), Note("lead", 8, 2, 71), Note("low", 0, 16, 47)))
    layout = layout_of(plan, arrangement)
    row = layout.rows[0]
    assert layout.y(row, 71) < layout.y(row, 66) < layout.y(row, 47)
    assert layout.x(row, 8) > layout.x(row, 0)


def test_the_description_counts_what_is_drawn() -> None:
    plan = sample_plan("ferry-lights")
    words = describe(plan, sample_arrangement(plan))
    assert "Chords: Bm, G." in words
    assert f"Notes outside their chord: {len(outside_notes(plan, sample_arrangement(plan)))}." in words


def test_an_arrangement_without_notes_can_be_drawn() -> None:
    plan = sample_plan("ferry-lights")
    assert of_class(drawn(plan, Arrangement(())), "knot") != []


def test_long_names_stand_whole_beside_a_row_and_in_the_legend() -> None:
    plan = sample_plan("ferry-lights")
    long = "the lamp over a gangway-seen from ashore"
    parts = tuple(replace(part, name=long) if part.name == "lead" else part for part in plan.parts)
    notes = tuple(replace(note, part=long) if note.part == "lead" else note for note in sample_arrangement(plan).notes)
    plan = replace(plan, parts=parts)
    svg = drawn(plan, Arrangement(notes))
    names = [text for text in svg.iter(f"{SVG}text") if "name" in text.get("class", "")]
    rows = len(layout_of(plan, Arrangement(notes)).rows)
    lines = [text.text or "" for text in names]
    assert " ".join(lines).count("the lamp over a gangway-seen from ashore") == rows
    assert all(float(text.get("x", "0")) + 8.4 * len(text.text or "") <= 1200 for text in names)
    assert any(span.text == long for span in svg.iter(f"{SVG}tspan"))
