"""Rhythm lines: a part's onsets over the whole loop, laid out from cells by the form.

A form says which bars share a cell: A A B A and so on. Every form with up to three cells is tried, those in which
nothing comes back excepted. Lines are drawn by a seeded generator from the best cells, so that a seed gives
its own lines and the same seed the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from random import Random

from solver.brief.plan import PartPlan, Plan
from solver.merits.syncopation import TARGET
from solver.music.metre import Metre, longuet_higgins_lee
from solver.rhythm.cells import KEPT, Cell, cells_of, shortest_gap
from solver.rhythm.held_notes import Bound, Stretch, bounds, held_onsets, stretches, wanted_strokes
from solver.rhythm.measures import note_to_beat_distance, npvi
from solver.rules import every_rule
from solver.rules.bass_returns import returns
from solver.search.state import State

Onsets = tuple[int, ...]
Window = tuple[int, int]

LONG = 10  # bars; the rhythm of a longer statement comes again within it
LETTERS = 3  # more cells than three in a statement are no longer one rhythm; common practice, no source
POOL = 80  # cells that a draw chooses from, the best by their marks
TRIES = 60  # draws for each line that is asked for


@dataclass(frozen=True)
class Line:
    """A part's onsets over the loop, the cell of each bar, its mark (higher is better), and which rules the held notes
    among them break."""

    onsets: Onsets
    cells: tuple[Cell, ...]
    mark: float
    refused: tuple[str, ...] = ()


def period(plan: Plan, part: PartPlan) -> int:
    """Bars after which a part's rhythm comes again: its statement, else the largest of 4, 2, 1 that divides."""
    if part.repeat_every is not None:
        return part.repeat_every
    return next((bars for bars in (4, 2) if plan.bars % bars == 0), 1)


def forms(bars: int) -> list[tuple[int, ...]]:
    """Every way to give ``bars`` bars up to three cells, numbered in order of entry; of three or more one returns.

    More than ten bars, of which there would be up to millions, have the forms of their largest part of ten at most that
    divides them, over and over.
    """
    part = next((part for part in range(LONG, 2, -1) if bars % part == 0), bars)
    if part < bars and bars > LONG:
        return [form * (bars // part) for form in forms(part)]
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


def cell_mark(metre: Metre, role: str, notes_per_bar: tuple[int, int], cell: Cell) -> float:
    """How well a cell suits a part: published measures of its syncopation, off-beat weight and evenness."""
    off_target = abs(longuet_higgins_lee(cell, metre) - TARGET[role])
    beat = max(1, metre.grid // len(metre.beats))
    distance = float(note_to_beat_distance(cell, metre.grid, beat)) if role == "low" else 0.0
    # A row of equal notes marches and a very uneven one limps: nPVI of spoken and played rhythm lies about 40 to 60.
    unevenness = abs(npvi(cell, metre.grid) - 45) / 45
    # A part that fills the room it is given leaves none to the others: the middle of notes_per_bar is best.
    crowding = abs(2 * len(cell) - sum(notes_per_bar)) / 2
    # Notes fall most often on the first beat (Palmer and Krumhansl 1990, J. Exp. Psychol.: HPP 16(4), from memory): a
    # lead whose bars hardly ever begin with a note is like no tune of the collections (python -m tests.bench dullness).
    late = role == "lead" and 0 not in cell
    return -(off_target + distance / 2 + unevenness + crowding + late)


@lru_cache(maxsize=KEPT)
def _marks(metre: Metre, role: str, notes_per_bar: tuple[int, int], gap: int) -> Mapping[Cell, float]:
    return {cell: cell_mark(metre, role, notes_per_bar, cell) for cell in cells_of(metre, notes_per_bar, gap)}


def spread(plan: Plan, layout: tuple[Cell, ...]) -> Onsets:
    """The loop's onsets of one period's cells."""
    grid = plan.metre.grid
    return tuple(bar * grid + onset for bar in range(plan.bars) for onset in layout[bar % len(layout)])


def refused(plan: Plan, part: PartPlan, onsets: Onsets) -> tuple[str, ...]:
    """The names of the rules that judge one part's rhythm and do not admit it."""
    return tuple(rule.name for rule in every_rule() if rule.admits is not None and not rule.admits(plan, part, onsets))


def keeps_apart(plan: Plan, part: PartPlan, onsets: Onsets, touching: bool = False) -> bool:
    """Whether neighbouring onsets are far enough apart across the bar lines and the loop's end too.

    Two that are held are as they are; with ``touching`` one that is held may be as near to any other.
    """
    following = [*onsets[1:], *(onset + plan.slots for onset in onsets[:1])]
    gap = shortest_gap(plan, part)
    held = {plan.home_slot(part, onset) for onset in held_onsets(plan, part)}
    enough = any if touching else all
    return all(
        after - before >= gap or enough(plan.home_slot(part, slot % plan.slots) in held for slot in (before, after))
        for before, after in zip(onsets, following, strict=True)
    )


@dataclass(frozen=True)
class Family:
    """All that a part's rhythm may be made of: its cells with their marks, its forms, and what is held of it."""

    plan: Plan
    part: PartPlan
    cells: tuple[Cell, ...]
    marks: Mapping[Cell, float]
    forms: tuple[tuple[int, ...], ...]
    held: Mapping[int, Bound]  # by bar; in a repeat all statements have what is held of one
    stretches: tuple[Stretch, ...]
    touching: bool = False  # whether free notes may come as near to held ones as a slot

    def _is_fixed(self, bar: int) -> bool:
        return bar in self.held and len(self.held[bar].fixed) == self.plan.metre.grid

    def pool(self, wanted: frozenset[Window], counts: frozenset[int], random: Random) -> list[Cell]:
        """The best cells that have an onset in each window and the number of notes asked for, jittered by the seed."""
        usable = [cell for cell in self.cells if fits(cell, wanted) and counts <= {len(cell)}]
        jitter = {cell: self.marks[cell] + random.random() for cell in usable}
        return sorted(usable, key=lambda cell: (-jitter[cell], cell))[:POOL]

    def _free_bars(self, form: tuple[int, ...], letter: int) -> list[int]:
        return [bar for bar in range(self.plan.bars) if form[bar % len(form)] == letter and not self._is_fixed(bar)]

    def wanted(self, form: tuple[int, ...], letter: int) -> frozenset[Window]:
        """What a form's cell has to have in any of its bars."""
        bars = self._free_bars(form, letter)
        return frozenset(window for bar in bars for window in windows(self.plan, self.part, bar))

    def counts(self, form: tuple[int, ...], letter: int) -> frozenset[int]:
        """The numbers of notes that held pitches ask of a form's cell."""
        found = (self.held[bar].count for bar in self._free_bars(form, letter) if bar in self.held)
        return frozenset(count for count in found if count is not None)

    def laid(self, layout: tuple[Cell, ...]) -> tuple[Cell, ...]:
        """The cell of every bar of the loop: one period's cells, what is held in its place."""
        cells = (layout[bar % len(layout)] for bar in range(self.plan.bars))
        return tuple(self.held[bar].over(cell) if bar in self.held else cell for bar, cell in enumerate(cells))

    def line(self, layout: tuple[Cell, ...]) -> Line | None:
        """The line of one period's cells, None where it cannot be or where a rule does not admit it.

        Where notes are held, the line says which rules do not admit it.
        """
        laid = self.laid(layout)
        onsets = spread(self.plan, laid)
        if not onsets or not keeps_apart(self.plan, self.part, onsets, self.touching):
            return None
        if not all(stretch.holds(onsets) for stretch in self.stretches) or not self._suits_pitches(onsets):
            return None
        names = refused(self.plan, self.part, onsets)
        if names and not self.held:
            return None
        return Line(onsets, laid, sum(self._mark(cell) for cell in layout) / len(layout), names)

    def _suits_pitches(self, onsets: Onsets) -> bool:
        """Whether every rule about single notes allows the held pitches where they fall in this rhythm."""
        if not self.stretches:
            return True
        checks = [rule.allows_state for rule in every_rule() if rule.allows_state is not None]
        wanted = wanted_strokes(self.plan, self.part, onsets)
        return all(
            check(self.plan, self.part, onsets[index], State(tuple(note.pitch for note in stroke)))
            for index, (held, stroke) in wanted.items()
            if held.aspect == "pitch"
            for check in checks
        )

    def _mark(self, cell: Cell) -> float:
        if cell in self.marks:
            return self.marks[cell]
        return cell_mark(self.plan.metre, self.part.role, self.part.notes_per_bar, cell)

    def draw(self, count: int, random: Random) -> list[Line]:
        """Up to ``count`` different lines, best first."""
        if all(self._is_fixed(bar) for bar in range(self.plan.bars)):
            line = self.line(((),) * period(self.plan, self.part))
            return [line] if line is not None else []
        pools: dict[tuple[frozenset[Window], frozenset[int]], list[Cell]] = {}
        found: dict[Onsets, Line] = {}
        looked_at: set[tuple[Cell, ...]] = set()
        sound = 0
        for _ in range(count * TRIES):
            form = random.choice(self.forms)
            chosen: dict[int, Cell] = {}
            for letter in sorted(set(form)):
                wanted = self.wanted(form, letter), self.counts(form, letter)
                if wanted not in pools:
                    pools[wanted] = self.pool(*wanted, random)
                if not pools[wanted]:
                    break
                chosen[letter] = random.choice(pools[wanted])
            if len(chosen) < len(set(form)) or len(set(chosen.values())) < len(chosen):
                continue
            layout = self._echoed(tuple(chosen[letter] for letter in form), random)
            if layout in looked_at:
                continue
            looked_at.add(layout)
            line = self.line(layout)
            if line is not None and line.onsets not in found:
                found[line.onsets] = line
                sound += not line.refused
                if sound >= count:
                    break
        # What the held notes break they break in every line: the lines that break least keep all else.
        least = min((len(line.refused) for line in found.values()), default=0)
        kept = [line for line in found.values() if len(line.refused) == least]
        return sorted(kept, key=lambda line: (-line.mark, line.onsets))[:count]

    def _echoed(self, layout: tuple[Cell, ...], random: Random) -> tuple[Cell, ...]:
        """Half of the times, where a line without a repeat has held bars, the bars that match them sound alike."""
        if not self.held or self.part.repeat_every is not None or random.random() < 1 / 2:
            return layout
        cells = list(layout)
        for bar in sorted(self.held, reverse=True):
            if self._is_fixed(bar):
                cells[bar % len(cells)] = self.held[bar].over(())
        return tuple(cells)

    def layouts(self) -> Iterator[tuple[Cell, ...]]:
        """One period's cells of every line that may be, the plainest forms first: what is searched where drawing finds
        nothing. There may be millions."""
        for form in sorted(self.forms, key=lambda form: (len(set(form)), form)):
            letters = sorted(set(form))
            usable = [[cell for cell in self.cells if fits(cell, self.wanted(form, letter))] for letter in letters]
            for cells in product(*usable):
                if len(set(cells)) == len(cells):
                    yield tuple(cells[letter] for letter in form)

    def every(self) -> Iterator[Line]:
        """Every line of the family, in the order of their layouts."""
        return (line for line in map(self.line, self.layouts()) if line is not None)


def _merged(first: Bound, then: Bound) -> Bound:
    """Both, and the first where they differ."""
    return Bound(
        first.fixed | then.fixed,
        first.onsets | (then.onsets - first.fixed),
        then.count if first.count is None else first.count,
    )


def family(plan: Plan, part: PartPlan) -> Family:
    """The family of a part's rhythms."""
    marks = _marks(plan.metre, part.role, part.notes_per_bar, shortest_gap(plan, part))
    laid_out = tuple(forms(period(plan, part)))
    return Family(plan, part, tuple(marks), marks, laid_out, held_bars(plan, part), stretches(plan, part))


def held_bars(plan: Plan, part: PartPlan) -> dict[int, Bound]:
    """What is held of a part's rhythm, by bar; in a repeat all statements have what is held of one."""
    held = bounds(plan, part)
    if part.repeat_every is None:
        return held
    home: dict[int, Bound] = {}
    for bar, bound in held.items():
        home[bar % part.repeat_every] = _merged(home.get(bar % part.repeat_every, Bound()), bound)
    bars = (bar for bar in range(plan.bars) if bar % part.repeat_every in home)
    return {bar: _merged(held.get(bar, Bound()), home[bar % part.repeat_every]) for bar in bars}


def is_fixed(plan: Plan, part: PartPlan) -> bool:
    """Whether a part's whole rhythm is held."""
    held = held_bars(plan, part)
    return all(bar in held and len(held[bar].fixed) == plan.metre.grid for bar in range(plan.bars))


def as_held(plan: Plan, part: PartPlan) -> Family:
    """The family to fall back on where notes are held: those whose pitches are held come where they came, and free
    notes may come close to held ones."""
    notes = replace(plan, held=tuple(replace(held, aspect="notes") for held in plan.held))
    return replace(family(notes, part), touching=True)
