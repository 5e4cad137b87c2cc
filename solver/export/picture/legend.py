"""What tells the strands apart in words: names at the end of each row, the legend, the description for readers."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.export.picture.layout import LEFT, LEGEND_HEAD, LEGEND_LINE, WIDTH, Layout, Row
from solver.export.picture.legend_text import (
    COLUMNS,
    FLAG,
    OPEN,
    ORNAMENT,
    RING,
    ROOT,
    SIGN_WORDS,
    SLACK,
    name_lines,
    part_columns,
    part_lines,
    part_words,
    signs_of,
)
from solver.export.picture.marks import outside_notes, varied_notes
from solver.export.picture.ropes import flag_at, knot_at, rope_at
from solver.export.picture.strands import Strand
from solver.music.pitch import note_name

NAME_GAP = 17.0  # least distance of two lines of names at a row's end
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
        lines = name_lines(part.name)
        for number, line in enumerate(lines):
            height = y + 4.5 + NAME_GAP * (number - (len(lines) - 1) / 2)
            SubElement(svg, "text", {"class": "name", "x": f"{x + 11:.1f}", "y": f"{height:.1f}"}).text = line


def _spread(wanted: list[tuple[float, PartPlan]], row: Row) -> list[tuple[float, PartPlan]]:
    """Names moved apart, from the top down, then back up where they would leave the row."""
    heights = [y for y, _ in wanted]
    room = [NAME_GAP * len(name_lines(part.name)) for _, part in wanted]
    for index in range(1, len(heights)):
        heights[index] = max(heights[index], heights[index - 1] + (room[index - 1] + room[index]) / 2)
    floor = row.bottom + NAME_GAP / 2
    for index in reversed(range(len(heights))):
        heights[index] = min(heights[index], floor - room[index] / 2)
        floor = heights[index] - room[index] / 2
    return [(height, part) for height, (_, part) in zip(heights, wanted, strict=True)]


def draw_legend(svg: Element, plan: Plan, layout: Layout, strands: dict[str, Strand], thick: dict[str, float]) -> None:
    """A stretch of each rope with its part's name, role and instrument; then the signs."""
    top = layout.legend_top + LEGEND_HEAD
    for index, part in enumerate(plan.parts):
        x, y = _cell(top, index, part_columns(plan))
        strand, height = strands[part.name], thick[part.name]
        rope_at(svg, x, y, SAMPLE, strand, height)
        knot_at(svg, x, y, strand, height, False)
        name, what = part_words(part)
        text = SubElement(svg, "text", {"x": f"{x + SAMPLE + 10:.1f}", "y": f"{y + 5:.1f}"})
        SubElement(text, "tspan", {"class": "name"}).text = name
        SubElement(text, "tspan", {"class": "soft"}).text = f"  {what}"
    below = top + part_lines(plan) * LEGEND_LINE
    for index, sign in enumerate(signs_of(plan)):
        x, y = _cell(below, index, COLUMNS)
        _draw_sign(svg, sign, x, y, strands[plan.parts[0].name])
        words = SubElement(svg, "text", {"class": "soft", "x": f"{x + SAMPLE + 10:.1f}", "y": f"{y + 5:.1f}"})
        words.text = SIGN_WORDS[sign]


def _cell(top: float, index: int, columns: int) -> tuple[float, float]:
    """Where an entry of the legend stands."""
    return LEFT + (index % columns) * (WIDTH - LEFT - 20) / columns, top + (index // columns) * LEGEND_LINE


def _draw_sign(svg: Element, sign: str, x: float, y: float, strand: Strand) -> None:
    """A sample of a sign, as wide as that of a rope."""
    end = x + SAMPLE
    if sign == OPEN:
        knot_at(svg, x + SAMPLE / 2, y, strand, 11.0, True)
    elif sign == FLAG:
        flag_at(svg, x + SAMPLE / 2, y + 10)
    elif sign == ROOT:
        ends = {"x1": f"{x:.1f}", "x2": f"{end:.1f}", "y1": f"{y:.1f}", "y2": f"{y:.1f}"}
        SubElement(svg, "line", {"class": "root", **ends})
    elif sign == SLACK:
        path = f"M{x:.1f},{y - 4:.1f} C{x + 15:.1f},{y + 9:.1f} {end - 15:.1f},{y + 9:.1f} {end:.1f},{y - 4:.1f}"
        SubElement(svg, "path", {"class": f"thread s{strand.index}", "d": path})
    elif sign == RING:
        SubElement(svg, "path", {"class": f"ring s{strand.index}", "d": f"M{x:.1f},{y:.1f} H{end:.1f}"})
    elif sign == ORNAMENT:
        steps = " ".join(f"L{x + 8 * index:.1f},{y - 8 * (index % 2):.1f}" for index in range(1, 5))
        SubElement(svg, "path", {"class": f"ornament s{strand.index}", "d": f"M{x:.1f},{y:.1f} {steps} H{end:.1f}"})


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
    decorated = [note for note in arrangement.notes if note.ornament]
    listed = "; ".join(f"{note.part}, {note.ornament} at {plan.place(note.onset)}" for note in decorated)
    return (
        f"Pitch over time. Chords: {chords}. Parts: {'; '.join(parts)}. "
        f"Notes outside their chord: {outside}. Notes varied in the last statement: {varied}."
        f"{f' Ornaments: {listed}.' if listed else ''}"
    )
