"""What tells the strands apart in words: names at the end of each row, the legend, the description for readers."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.export.picture.layout import (
    LEFT,
    LEGEND_COLUMNS,
    LEGEND_HEAD,
    LEGEND_LINE,
    WIDTH,
    Layout,
    Row,
)
from solver.export.picture.marks import outside_notes, varied_notes
from solver.export.picture.ropes import flag_at, knot_at, rope_at
from solver.export.picture.strands import Strand
from solver.music.pitch import note_name

NAME_GAP = 17.0  # least distance of two names at a row's end
SAMPLE = 46.0  # length of a rope in the legend


def draw_names(
    svg: Element, plan: Plan, arrangement: Arrangement, layout: Layout, row: Row, strands: dict[str, Strand]
) -> None:
    """Each part's name at the right of a row, beside where its strand leaves it."""
    wanted: list[tuple[float, PartPlan]] = []
    for part in plan.parts:
        strokes = [stroke for stroke in arrangement.strokes(part.name) if stroke[0].onset < row.end]
        if strokes:
            middle = sum(note.pitch for note in strokes[-1]) / len(strokes[-1])
            wanted.append((layout.y(row, middle), part))
    for y, part in _spread(sorted(wanted, key=lambda item: (item[0], item[1].rank)), row):
        x = layout.x(row, row.end) + 22
        knot_at(svg, x, y, strands[part.name], 9.0, False)
        text = SubElement(svg, "text", {"class": "name", "x": f"{x + 11:.1f}", "y": f"{y + 4.5:.1f}"})
        text.text = _short(part.name)


def _spread(wanted: list[tuple[float, PartPlan]], row: Row) -> list[tuple[float, PartPlan]]:
    """Names moved apart, from the top down, then back up where they would leave the row."""
    heights = [y for y, _ in wanted]
    for index in range(1, len(heights)):
        heights[index] = max(heights[index], heights[index - 1] + NAME_GAP)
    floor = row.bottom
    for index in reversed(range(len(heights))):
        heights[index] = min(heights[index], floor)
        floor = heights[index] - NAME_GAP
    return [(height, part) for height, (_, part) in zip(heights, wanted, strict=True)]


def draw_legend(svg: Element, plan: Plan, layout: Layout, strands: dict[str, Strand], thick: dict[str, float]) -> None:
    """A stretch of each rope with its part's name, role and instrument; then the signs."""
    column = (WIDTH - LEFT - 20) / LEGEND_COLUMNS
    top = layout.legend_top + LEGEND_HEAD
    for index, part in enumerate(plan.parts):
        x, y = LEFT + (index % LEGEND_COLUMNS) * column, top + (index // LEGEND_COLUMNS) * LEGEND_LINE
        strand, height = strands[part.name], thick[part.name]
        rope_at(svg, x, y, SAMPLE, strand, height)
        knot_at(svg, x, y, strand, height, False)
        what = part.instrument.name if part.name == part.role else f"{part.role}, {part.instrument.name}"
        text = SubElement(svg, "text", {"x": f"{x + SAMPLE + 10:.1f}", "y": f"{y + 5:.1f}"})
        SubElement(text, "tspan", {"class": "name"}).text = part.name
        SubElement(text, "tspan", {"class": "soft"}).text = f"  {what}"
    _draw_signs(
        svg, plan, top + -(-len(plan.parts) // LEGEND_COLUMNS) * LEGEND_LINE, strands[plan.parts[0].name], column
    )


def _draw_signs(svg: Element, plan: Plan, y: float, strand: Strand, column: float) -> None:
    knot_at(svg, LEFT, y, strand, 11.0, True)
    _words(svg, LEFT + 16, y, "open knot: a note outside the chord")
    if any(part.repeat_every for part in plan.parts):
        flag_at(svg, LEFT + column, y + 10)
        _words(svg, LEFT + column + 18, y, "flag: varied in the last statement")
    x = LEFT + 2 * column
    SubElement(
        svg, "line", {"class": "root", "x1": f"{x:.1f}", "x2": f"{x + 36:.1f}", "y1": f"{y:.1f}", "y2": f"{y:.1f}"}
    )
    _words(svg, x + 46, y, "root of the chord; a slack thread is a rest")


def _words(svg: Element, x: float, y: float, words: str) -> None:
    SubElement(svg, "text", {"class": "soft", "x": f"{x:.1f}", "y": f"{y + 5:.1f}"}).text = words


def _short(name: str) -> str:
    return name if len(name) <= 10 else name[:9] + "…"


def describe(plan: Plan, arrangement: Arrangement) -> str:
    """The picture in words, for those who do not see it."""
    chords = ", ".join(dict.fromkeys(span.chord.symbol for span in plan.spans))
    parts = []
    for part in plan.parts:
        notes = arrangement.part(part.name)
        if notes:
            low, high = min(note.pitch for note in notes), max(note.pitch for note in notes)
            span = f"{note_name(low, plan.key.prefers_flats)} to {note_name(high, plan.key.prefers_flats)}"
            parts.append(f"{part.name} ({part.instrument.name}), {len(notes)} notes from {span}")
    outside = len(outside_notes(plan, arrangement))
    varied = len(varied_notes(plan, arrangement))
    return (
        f"Pitch over time. Chords: {chords}. Parts: {'; '.join(parts)}. "
        f"Notes outside their chord: {outside}. Notes varied in the last statement: {varied}."
    )
