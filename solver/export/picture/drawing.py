"""The picture, put together: title, rows of the field with all strands in it, legend. Deterministic, no scripts."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement, indent, tostring

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.picture.field import draw_axis, draw_field, draw_row_head
from solver.export.picture.layout import HEAD, LEFT, WIDTH, Layout, Row, layout_of
from solver.export.picture.legend import describe, draw_legend, draw_names
from solver.export.picture.legend_text import shortened
from solver.export.picture.marks import outside_notes, varied_notes
from solver.export.picture.ropes import (
    Stretch,
    Thread,
    draw_binding,
    draw_knot,
    draw_ornament,
    draw_rope,
    draw_thread,
    stretches_of,
    threads_of,
)
from solver.export.picture.strands import strands_of, thickness
from solver.export.picture.style import add_pattern, style_sheet
from solver.ornaments import decorated

MOST_TITLE = 64  # letters that fit
BLEED = 9.0  # how far strands reach beyond a row's ends, so that they seem to go on


def picture_svg(plan: Plan, arrangement: Arrangement, *, styled: bool = True) -> str:
    """The SVG of an arrangement as text. Without ``styled`` the style sheet is left to the page that shows it."""
    varied = varied_notes(plan, arrangement)
    outside = outside_notes(plan, arrangement)
    layout = layout_of(plan, arrangement)
    strands = strands_of(plan)
    thick = {part.name: thickness(strands[part.name], part, layout.step) for part in plan.parts}
    svg = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH:.0f} {layout.height:.0f}",
            "width": f"{WIDTH:.0f}",
            "height": f"{layout.height:.0f}",
            "role": "img",
            "aria-labelledby": "picture-title picture-desc",
        },
    )
    SubElement(svg, "title", {"id": "picture-title"}).text = f"{plan.title} in {plan.key.name}"
    SubElement(svg, "desc", {"id": "picture-desc"}).text = describe(plan, arrangement)
    if styled:
        SubElement(svg, "style").text = style_sheet(list(strands.values()))
    definitions = SubElement(svg, "defs")
    for part in plan.parts:
        add_pattern(definitions, strands[part.name], thick[part.name])
    SubElement(svg, "rect", {"class": "paper", "width": f"{WIDTH:.0f}", "height": f"{layout.height:.0f}"})
    _draw_title(svg, plan)
    stretches = {part.name: stretches_of(plan, arrangement, part, outside, varied) for part in plan.parts}
    threads = {part.name: threads_of(plan, arrangement, part, turn) for turn, part in enumerate(plan.parts)}
    for row in layout.rows:
        _clip(definitions, layout, row)
        draw_field(svg, plan, layout, row)
        draw_row_head(svg, plan, layout, row)
        draw_axis(svg, plan, arrangement, layout, row)
        group = SubElement(svg, "g", {"clip-path": f"url(#row-{row.index})"})
        _draw_threads(group, plan, layout, row, threads)
        for part in reversed(plan.by_rank):
            here = [item for item in stretches[part.name] if _touches(row, item)]
            for item in here:
                draw_rope(group, layout, row, item, strands[part.name], thick[part.name])
            for stroke in arrangement.strokes(part.name):
                if len(stroke) > 1 and row.start <= stroke[0].onset < row.end:
                    draw_binding(group, layout, row, stroke, strands[part.name])
        knots = SubElement(svg, "g")
        for part in reversed(plan.by_rank):
            for item in stretches[part.name]:
                if row.start <= item.onset < row.end:
                    draw_knot(knots, layout, row, item, strands[part.name], thick[part.name])
        for part in reversed(plan.by_rank):
            for note, pieces in decorated(plan, part, arrangement.part(part.name)):
                if row.start <= note.onset < row.end:
                    draw_ornament(group, layout, row, note, pieces, strands[part.name])
        draw_names(svg, plan, arrangement, layout, row, strands)
    draw_legend(svg, plan, layout, strands, thick)
    indent(svg, "")
    return tostring(svg, encoding="unicode") + "\n"


def _draw_title(svg: Element, plan: Plan) -> None:
    bars = "1 bar" if plan.bars == 1 else f"{plan.bars} bars"
    facts = f"{plan.key.name} · {plan.tempo:g} quarter notes a minute · {plan.metre.name} · {bars}, looped"
    for kind, y, words in (("title", HEAD - 40, shortened(plan.title, MOST_TITLE)), ("sub", HEAD - 14, facts)):
        SubElement(svg, "text", {"class": kind, "x": f"{LEFT:.0f}", "y": f"{y:.0f}"}).text = words


def _clip(definitions: Element, layout: Layout, row: Row) -> None:
    clip = SubElement(definitions, "clipPath", {"id": f"row-{row.index}"})
    width = layout.x(row, row.end) - LEFT + 2 * BLEED
    SubElement(
        clip,
        "rect",
        {
            "x": f"{LEFT - BLEED:.1f}",
            "y": f"{row.top - 8:.1f}",
            "width": f"{width:.1f}",
            "height": f"{row.bottom - row.top + 24:.1f}",
        },
    )


def _draw_threads(group: Element, plan: Plan, layout: Layout, row: Row, threads: dict[str, list[Thread]]) -> None:
    """All threads of a row: first those that lie under, then those that lie over."""
    strands = strands_of(plan)
    for over in (False, True):
        for part in reversed(plan.by_rank):
            for thread in threads[part.name]:
                for shift in (-plan.slots, 0):
                    begins, ends = thread.start + shift, thread.end + shift
                    if thread.over == over and ends > row.start - 1 and begins < row.end + 1:
                        draw_thread(group, layout, row, thread, strands[part.name], shift)


def _touches(row: Row, stretch: Stretch) -> bool:
    return stretch.onset < row.end and max(stretch.rope_end, stretch.ring_end) > row.start
