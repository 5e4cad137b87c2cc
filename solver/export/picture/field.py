"""The field behind the strands: chord spans shaded in turn, their tones as faint lines, bars, and pitch names."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.picture.layout import EDGE, LEFT, Layout, Row, statement_bars
from solver.music.pitch import note_name

LETTER = 11.5  # width of a chord symbol's letter
LABEL_GAP = 14.5  # least distance of two pitch names
SMALL_LETTER = 7.0  # width of a small letter, on the wide side of the usual
BAR_NUMBER = 24.0  # room for a bar's number


def draw_field(svg: Element, plan: Plan, layout: Layout, row: Row) -> None:
    """Bands, guide lines and bar lines of one row."""
    for span in plan.spans:
        start, end = max(span.start, row.start), min(span.end, row.end)
        if start >= end:
            continue
        x1, x2 = layout.x(row, start), layout.x(row, end)
        if span.index % 2 == 0:
            box = {"x": x1, "y": row.top, "width": x2 - x1, "height": row.bottom - row.top}
            SubElement(svg, "rect", {"class": "band", **{key: f"{value:.1f}" for key, value in box.items()}})
        for pitch in range(layout.lowest - EDGE + 1, layout.highest + EDGE):
            if pitch % 12 in span.chord.pcs:
                kind = "root" if pitch % 12 == span.chord.root.pc else "tone"
                _line(svg, kind, x1, layout.y(row, pitch), x2, layout.y(row, pitch))
    for slot in range(row.start, row.end + 1):
        within = slot % plan.metre.grid
        if within == 0:
            _line(svg, "bar", layout.x(row, slot), row.top - 6, layout.x(row, slot), row.bottom + 4)
        elif within in plan.metre.beats:
            _line(svg, "beat", layout.x(row, slot), row.bottom - 3, layout.x(row, slot), row.bottom + 4)


def draw_row_head(svg: Element, plan: Plan, layout: Layout, row: Row) -> None:
    """Chord names where chords begin (again at a row's start), bar numbers below the field, and statements."""
    for span in plan.spans:
        if max(span.start, row.start) < min(span.end, row.end):
            begins = span.start >= row.start
            kind = "chord" if begins else "chord again"
            words = span.chord.symbol if begins else f"({span.chord.symbol})"
            x, end = layout.x(row, max(span.start, row.start)), layout.x(row, min(span.end, row.end))
            tight = " tight" if len(words) * LETTER > end - x else ""
            _text(svg, kind + tight, x + 4, row.top - 12, words)
    for bar in range(row.first_bar, row.end // plan.metre.grid):
        _text(svg, "small soft", layout.x(row, bar * plan.metre.grid) + 4, row.bottom + 17, f"{bar + 1}")
    _text(svg, "small soft", layout.x(row, row.end), row.bottom + 17, _statement(plan, row, layout), anchor="end")


def draw_axis(svg: Element, plan: Plan, arrangement: Arrangement, layout: Layout, row: Row) -> None:
    """Pitch names at the left: the key's tonic in every octave, then the pitches that occur, as far as they fit."""
    tonics = [p for p in range(layout.lowest - EDGE + 1, layout.highest + EDGE) if p % 12 == plan.key.tonic.pc]
    used = sorted({note.pitch for note in arrangement.notes})
    counts = {pitch: sum(note.pitch == pitch for note in arrangement.notes) for pitch in used}
    placed: list[int] = []
    for pitch in [*tonics, layout.highest, layout.lowest, *sorted(used, key=lambda pitch: (-counts[pitch], pitch))]:
        if all(abs(pitch - other) * layout.step >= LABEL_GAP for other in placed):
            placed.append(pitch)
            kind = "tonic small" if pitch in tonics else "small soft"
            y = layout.y(row, pitch) + 4.5
            _text(svg, kind, LEFT - 16, y, note_name(pitch, plan.key.prefers_flats), anchor="end")


def _statement(plan: Plan, row: Row, layout: Layout) -> str:
    """Which statements of the repeating part begin in a row; empty where none does, or nothing repeats.

    A name that would reach below another bar's number is left out.
    """
    repeating = [part for part in (*plan.with_role("lead"), *plan.parts) if part.repeat_every]
    bars = statement_bars(plan)
    begun = [bar // bars + 1 for bar in range(row.first_bar, row.end // plan.metre.grid) if bar % bars == 0]
    if not repeating or not begun:
        return ""
    which = f"statement {begun[0]}" if len(begun) == 1 else f"statements {begun[0]} to {begun[-1]}"
    words = f"{which} of {plan.bars // bars}"
    whole = f"{repeating[0].name}: {words}"
    return whole if len(whole) * SMALL_LETTER < plan.metre.grid * layout.slot_width - BAR_NUMBER else words


def _line(svg: Element, kind: str, x1: float, y1: float, x2: float, y2: float) -> None:
    ends = {"x1": f"{x1:.1f}", "y1": f"{y1:.1f}", "x2": f"{x2:.1f}", "y2": f"{y2:.1f}"}
    SubElement(svg, "line", {"class": kind, **ends})


def _text(svg: Element, kind: str, x: float, y: float, words: str, anchor: str = "start") -> None:
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}"}
    if anchor != "start":
        place["text-anchor"] = anchor
    SubElement(svg, "text", {"class": kind, **place}).text = words
