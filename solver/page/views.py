"""An arrangement as the page shows it: picture, notes with their places and reasons, marks, parts, the loop."""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element, tostring

from solver.arrangement import Ranked
from solver.brief.plan import PartPlan, Plan
from solver.check import excuse_lines
from solver.export.picture import describe, layout_of, picture_svg
from solver.export.picture.layout import HEAD, WIDTH, Layout
from solver.export.picture.marks import outside_notes
from solver.export.picture.ropes import knot_at, rope_at
from solver.export.picture.strands import Strand, strands_of
from solver.export.picture.style import add_pattern
from solver.music.pitch import note_name
from solver.page.reasons import Reasons
from solver.page.versions import version_of
from solver.study.nearest import MEASURE, nearest_words

SAMPLE_WIDTH, SAMPLE_HEIGHT = 58.0, 20.0
TOP = HEAD - 8  # above it stands the picture's own title, which the page has in its heading


def view_of(plan: Plan, ranked: Ranked) -> dict[str, Any]:
    """Everything that the page needs to show and play one arrangement; places are in the picture's own units."""
    layout = layout_of(plan, ranked.arrangement)
    return {
        "version": version_of(ranked.arrangement),
        "total": round(ranked.total, 1),
        "proof": ranked.proof,
        "summary": _sentence(ranked.summary),
        "excused": [_sentence(line) for line in excuse_lines(plan, ranked.excused)],
        "nearest": [nearest_words(entry) for entry in ranked.nearest],
        "similarity": MEASURE if ranked.nearest else "",
        "marks": _marks(ranked),
        "picture": picture_svg(plan, ranked.arrangement, styled=False),
        "alt": describe(plan, ranked.arrangement),
        "frame": [0, TOP, WIDTH, round(layout.legend_top - TOP, 1)],
        "rows": [
            {"start": row.start, "end": row.end, "left": layout.x(row, row.start), "top": row.top, "bottom": row.bottom}
            for row in layout.rows
        ],
        "slot_width": round(layout.slot_width, 4),
        "notes": _notes(plan, ranked, layout),
    }


def loop_of(plan: Plan) -> dict[str, Any]:
    """What all arrangements of a plan share."""
    strands = strands_of(plan)
    metre = plan.metre
    return {
        "title": plan.title,
        "key": plan.key.name,
        "tempo": plan.tempo,
        "meter": metre.name,
        "bars": plan.bars,
        "grid": metre.grid,
        "slots": plan.slots,
        "beats": sorted(metre.beats),
        "quarters": float(plan.bars * metre.quarters_per_bar),
        "chords": [span.chord.symbol for span in plan.spans if span.pass_index == 0],
        "parts": [_part(part, strands[part.name], plan) for part in plan.parts],
    }


def _part(part: PartPlan, strand: Strand, plan: Plan) -> dict[str, Any]:
    flats = plan.key.prefers_flats
    return {
        "name": part.name,
        "role": part.role,
        "instrument": part.instrument.name,
        "range": f"{note_name(part.low, flats)} to {note_name(part.high, flats)}",
        "strand": strand.index,
        "sample": sample_svg(strand),
    }


def sample_svg(strand: Strand) -> str:
    """A short piece of a strand with its knot."""
    size = f"{SAMPLE_WIDTH:.0f} {SAMPLE_HEIGHT:.0f}"
    svg = Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {size}", "aria-hidden": "true"})
    add_pattern(svg, strand, strand.weight)
    rope_at(svg, 10, SAMPLE_HEIGHT / 2, SAMPLE_WIDTH - 14, strand, strand.weight)
    knot_at(svg, 10, SAMPLE_HEIGHT / 2, strand, strand.weight, False)
    return tostring(svg, encoding="unicode")


def _notes(plan: Plan, ranked: Ranked, layout: Layout) -> list[dict[str, Any]]:
    reasons = Reasons(plan, ranked.arrangement)
    outside = outside_notes(plan, ranked.arrangement)
    found = []
    for note in ranked.arrangement.notes:
        row = next(row for row in layout.rows if row.start <= note.onset < row.end)
        found.append(
            {
                "part": note.part,
                "onset": note.onset,
                "length": note.length,
                "pitch": note.pitch,
                "name": reasons.name(note.pitch),
                "place": plan.place(note.onset),
                "function": reasons.function(note),
                "outside": note in outside,
                "ornament": note.ornament,
                "why": list(reasons.of(note)),
                "row": row.index,
                "x": round(layout.x(row, note.onset), 1),
                "y": round(layout.y(row, note.pitch), 1),
                "width": round((min(note.end, row.end) - note.onset) * layout.slot_width, 1),
            }
        )
    return found


def _marks(ranked: Ranked) -> list[dict[str, Any]]:
    whole = sum(mark.weight for mark in ranked.marks)
    return [
        {
            "merit": mark.merit,
            "points": round(mark.points),
            "share": round(100 * mark.weight / whole, 1) if whole else 0,
            "sentence": _sentence(mark.sentence),
        }
        for mark in ranked.marks
    ]


def _sentence(words: str) -> str:
    words = words.strip()
    return words[:1].upper() + words[1:] + ("" if words[-1:] in ".!?" else ".") if words else ""
