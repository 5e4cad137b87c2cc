"""Where things stand in the picture: rows of whole bars, pitch upwards, all rows over the same range of pitches.

Units are those of the SVG's view box; slots and pitches are the plan's.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.export.picture.legend_text import legend_lines, names_width

WIDTH = 1200.0
LEFT, RIGHT = 62.0, 112.0  # room for pitch names, and the least for the parts' names
NAME_LEFT = 36.0  # from a row's end to the parts' names, and behind them
HEAD = 80.0  # title and its line
ROW_HEAD, ROW_FOOT = 46.0, 26.0  # room above a row for chord and bar, below it for its floor
LEGEND_LINE = 27.0
LEGEND_HEAD = 16.0
FIELD_HEIGHT = 280.0  # aim for the height of one row's field
LEAST_STEP, MOST_STEP = 6.5, 12.0  # height of a semitone
EDGE = 2  # semitones of room above the highest and below the lowest note
AIM_QUARTERS = 16  # quarter notes that make a comfortable row
MOST_SLOTS = 112  # more in one row are too narrow to read


@dataclass(frozen=True)
class Row:
    """One row: bars from ``first_bar`` (from 0), slots ``start`` to ``end``, and the top and bottom of its field."""

    index: int
    first_bar: int
    start: int
    end: int
    top: float
    bottom: float


@dataclass(frozen=True)
class Layout:
    """The whole picture's measures."""

    rows: tuple[Row, ...]
    slot_width: float
    step: float  # height of a semitone
    lowest: int
    highest: int
    legend_top: float
    height: float

    def x(self, row: Row, slot: float) -> float:
        """Where a slot begins in a row; slots outside the row lie outside its field."""
        return LEFT + (slot - row.start) * self.slot_width

    def y(self, row: Row, pitch: float) -> float:
        """The height of a pitch in a row."""
        return row.bottom - (pitch - self.lowest + EDGE) * self.step

    @property
    def right(self) -> float:
        """The right edge of the widest row's field."""
        return LEFT + max(row.end - row.start for row in self.rows) * self.slot_width


def layout_of(plan: Plan, arrangement: Arrangement) -> Layout:
    """The measures of an arrangement's picture."""
    pitches = [note.pitch for note in arrangement.notes] or [60]
    lowest, highest = min(pitches), max(pitches)
    steps = highest - lowest + 2 * EDGE
    step = min(max(FIELD_HEIGHT / steps, LEAST_STEP), MOST_STEP)
    per_row = bars_per_row(plan)
    rows: list[Row] = []
    top = HEAD
    for index, bar in enumerate(range(0, plan.bars, per_row)):
        field = top + ROW_HEAD
        bars = min(per_row, plan.bars - bar)
        start, end = bar * plan.metre.grid, (bar + bars) * plan.metre.grid
        rows.append(Row(index, bar, start, end, field, field + steps * step))
        top = field + steps * step + ROW_FOOT
    slot_width = (WIDTH - LEFT - max(RIGHT, NAME_LEFT + names_width(plan))) / max(row.end - row.start for row in rows)
    return Layout(
        tuple(rows), slot_width, step, lowest, highest, top, top + LEGEND_HEAD + legend_lines(plan) * LEGEND_LINE + 12
    )


def bars_per_row(plan: Plan) -> int:
    """Bars in one row: such that what repeats stands below itself, near 16 quarter notes, never too narrow."""
    statement = statement_bars(plan)
    fitting = [bars for bars in range(1, plan.bars + 1) if bars * plan.metre.grid <= MOST_SLOTS] or [1]
    aligned = [bars for bars in fitting if statement % bars == 0 or bars % statement == 0] or fitting
    quarters = plan.metre.quarters_per_bar
    return min(aligned, key=lambda bars: (abs(bars * quarters - AIM_QUARTERS), -bars))


def statement_bars(plan: Plan) -> int:
    """Bars after which something begins again: the lead's statement, else any part's, else four."""
    repeating = [part for part in (*plan.with_role("lead"), *plan.parts) if part.repeat_every]
    return repeating[0].repeat_every or 4 if repeating else 4
