"""Rhythm lines: a part's onsets over the whole loop, laid out from cells by the form.

A form says which bars share a cell: A A B A and so on. Every form with up to three cells is tried, those in which
nothing comes back excepted. Lines are drawn by a seeded generator from the best cells, so that a seed gives
its own lines and the same seed the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from random import Random

from solver.brief.plan import PartPlan, Plan
from solver.merits.syncopation import TARGET
from solver.music.metre import longuet_higgins_lee
from solver.rhythm.cells import Cell, cells_for, shortest_gap
from solver.rhythm.measures import note_to_beat_distance, npvi
from solver.rules import every_rule
from solver.rules.bass_returns import returns

Onsets = tuple[int, ...]
Window = tuple[int, int]

LETTERS = 3  # more cells than three in a statement are no longer one rhythm; common practice, no source
POOL = 80  # cells that a draw chooses from, the best by their marks
TRIES = 60  # draws for each line that is asked for


@dataclass(frozen=True)
class Line:
    """A part's onsets over the loop, the cell of each bar, and its mark (higher is better)."""

    onsets: Onsets
    cells: tuple[Cell, ...]
    mark: float


def period(plan: Plan, part: PartPlan) -> int:
    """Bars after which a part's rhythm comes again: its statement, else the largest of 4, 2, 1 that divides."""
    if part.repeat_every is not None:
        return part.repeat_every
    return next((bars for bars in (4, 2) if plan.bars % bars == 0), 1)


def forms(bars: int) -> list[tuple[int, ...]]:
    """Every way to give ``bars`` bars up to three cells, numbered in order of entry; of three or more one returns."""
    found: list[tuple[int, ...]] = [()]
    for _ in range(bars):
        found = [(*form, cell) for form in found for cell in range(min(LETTERS, len(set(form)) + 1))]
    return [form for form in found if bars < 3 or len(set(form)) < bars]


def windows(plan: Plan, part: PartPlan, bar: int) -> frozenset[Window]:
    """Stretches (first slot, end) of a bar in each of which the part has to start a note, as its role demands."""
    start, grid = bar * plan.metre.grid, plan.metre.grid
    found: set[Window] = set()
    if plan.bass is not None and part.name == plan.bass.name:
        moments = {span.start for span in plan.spans} | {slot for _, slot in returns(plan)}
        found |= {(slot - start, slot - start + 1) for slot in moments if start <= slot < start + grid}
    if part.role == "background":
        inside = (span for span in plan.spans if start <= span.start and span.end <= start + grid)
        found |= {(span.start - start, span.end - start) for span in inside}
    return frozenset(found)


def fits(cell: Cell, wanted: frozenset[Window]) -> bool:
    """Whether a cell has an onset in every window."""
    return all(any(first <= onset < end for onset in cell) for first, end in wanted)


def cell_mark(plan: Plan, part: PartPlan, cell: Cell) -> float:
    """How well a cell suits a part: published measures of its syncopation, off-beat weight and evenness."""
    metre = plan.metre
    off_target = abs(longuet_higgins_lee(cell, metre) - TARGET[part.role])
    beat = max(1, metre.grid // len(metre.beats))
    distance = float(note_to_beat_distance(cell, metre.grid, beat)) if part.role == "low" else 0.0
    # A row of equal notes marches and a very uneven one limps: nPVI of spoken and played rhythm lies about 40 to 60.
    unevenness = abs(npvi(cell, metre.grid) - 45) / 45
    # A part that fills the room it is given leaves none to the others: the middle of notes_per_bar is best.
    crowding = abs(2 * len(cell) - sum(part.notes_per_bar)) / 2
    return -(off_target + distance / 2 + unevenness + crowding)


def admitted(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether every rule that judges one part's rhythm admits it."""
    return all(rule.admits(plan, part, onsets) for rule in every_rule() if rule.admits is not None)


def spread(plan: Plan, layout: tuple[Cell, ...]) -> Onsets:
    """The loop's onsets of one period's cells."""
    grid = plan.metre.grid
    return tuple(bar * grid + onset for bar in range(plan.bars) for onset in layout[bar % len(layout)])


def keeps_apart(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether neighbouring onsets are far enough apart across the bar lines and the loop's end too."""
    following = [*onsets[1:], *(onset + plan.slots for onset in onsets[:1])]
    gap = shortest_gap(plan, part)
    return all(after - before >= gap for before, after in zip(onsets, following, strict=True))


@dataclass(frozen=True)
class Family:
    """All that a part's rhythm may be made of: its cells with their marks, and its forms."""

    plan: Plan
    part: PartPlan
    cells: tuple[Cell, ...]
    marks: dict[Cell, float]
    forms: tuple[tuple[int, ...], ...]

    def pool(self, wanted: frozenset[Window], random: Random) -> list[Cell]:
        """The best cells that have an onset in each window, jittered by the seed."""
        usable = [cell for cell in self.cells if fits(cell, wanted)]
        jitter = {cell: self.marks[cell] + random.random() for cell in usable}
        return sorted(usable, key=lambda cell: (-jitter[cell], cell))[:POOL]

    def wanted(self, form: tuple[int, ...], letter: int) -> frozenset[Window]:
        """What a form's cell has to have in any of its bars."""
        bars = (bar for bar in range(self.plan.bars) if form[bar % len(form)] == letter)
        return frozenset(window for bar in bars for window in windows(self.plan, self.part, bar))

    def line(self, layout: tuple[Cell, ...]) -> Line | None:
        """The line of one period's cells, None where a rule does not admit it."""
        onsets = spread(self.plan, layout)
        if not onsets or not keeps_apart(self.plan, self.part, onsets) or not admitted(self.plan, self.part, onsets):
            return None
        return Line(onsets, layout, sum(self.marks[cell] for cell in layout) / len(layout))

    def draw(self, count: int, random: Random) -> list[Line]:
        """Up to ``count`` different lines, best first."""
        pools: dict[frozenset[Window], list[Cell]] = {}
        found: dict[Onsets, Line] = {}
        for _ in range(count * TRIES):
            form = random.choice(self.forms)
            chosen: dict[int, Cell] = {}
            for letter in sorted(set(form)):
                wanted = self.wanted(form, letter)
                if wanted not in pools:
                    pools[wanted] = self.pool(wanted, random)
                if not pools[wanted]:
                    break
                chosen[letter] = random.choice(pools[wanted])
            if len(chosen) < len(set(form)) or len(set(chosen.values())) < len(chosen):
                continue
            line = self.line(tuple(chosen[letter] for letter in form))
            if line is not None:
                found.setdefault(line.onsets, line)
                if len(found) >= count:
                    break
        return sorted(found.values(), key=lambda line: (-line.mark, line.onsets))

    def every(self) -> Iterator[Line]:
        """Every line of the family, the plainest forms first: what is searched where drawing finds nothing."""
        for form in sorted(self.forms, key=lambda form: (len(set(form)), form)):
            letters = sorted(set(form))
            usable = [[cell for cell in self.cells if fits(cell, self.wanted(form, letter))] for letter in letters]
            for cells in product(*usable):
                if len(set(cells)) == len(cells):
                    line = self.line(tuple(cells[letter] for letter in form))
                    if line is not None:
                        yield line


def family(plan: Plan, part: PartPlan) -> Family:
    """The family of a part's rhythms."""
    cells = cells_for(plan, part)
    marks = {cell: cell_mark(plan, part, cell) for cell in cells}
    return Family(plan, part, cells, marks, tuple(forms(period(plan, part))))
