"""Form: when a part repeats itself, what its last statement changes, and the sections of a longer piece.

Statements are compared stroke by stroke: onset within the statement and pitches. How long notes last does not count.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solver.study.loop import Loop, LoopPart

Strokes = dict[int, tuple[int, ...]]  # onset -> pitches

MOST_VARIED = 1 / 3  # share of a statement's strokes that its last return may change
MOST_DIFFERENT = 1 / 4  # share that any return may change where returns differ from each other
LEAST_STROKES = 2  # in a statement
SAME_SECTION = 0.6  # share of strokes that two sections of one letter have in common
BLOCK_COST = 3.0  # strokes' worth that each block of a form costs
CHANGE_COST = 1.5  # strokes' worth that each change in a returning block costs


@dataclass(frozen=True)
class Repeat:
    """A part's repeat: a statement of ``every`` bars, and the slots of the loop at which later statements differ.

    ``at_end`` says that only the last statement differs from the first.
    """

    every: int
    varied: tuple[int, ...]
    at_end: bool


@dataclass(frozen=True)
class Section:
    """A stretch of bars (from 0, ``end`` exclusive) with its letter; ``changed`` counts strokes that differ from the
    letter's first stretch."""

    start: int
    end: int
    letter: str
    changed: int

    @property
    def name(self) -> str:
        """The letter, primed where the stretch is not quite its first one."""
        return self.letter + ("'" if self.changed else "")


def strokes_of(part: LoopPart) -> Strokes:
    """Pitches by onset."""
    return {stroke[0].onset: tuple(note.pitch for note in stroke) for stroke in part.strokes}


def change_at(loop: Loop, part: LoopPart, repeat: Repeat, slot: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The pitches that start in a slot, and those that start at its place in the first statement."""
    strokes = strokes_of(part)
    return strokes.get(slot, ()), strokes.get(slot % (repeat.every * loop.metre.grid), ())


def repeat_of(loop: Loop, part: LoopPart) -> Repeat | None:
    """The part's repeat; None without one.

    Looked for in this order, the shortest statement first: returns that are exact but for the last bar; returns that
    all differ a little; returns that are exact but for the whole last one.
    """
    strokes, grid = strokes_of(part), loop.metre.grid
    lengths = [bars for bars in range(1, loop.bars // 2 + 1) if loop.bars % bars == 0]
    changes = {bars: _changes(strokes, bars * grid, loop.slots) for bars in lengths}
    tries: tuple[tuple[Callable[[list[list[int]]], bool], float, bool], ...] = (
        (lambda found: not any(found[:-1]) and all(slot >= loop.slots - grid for slot in found[-1]), MOST_VARIED, True),
        (lambda found: True, MOST_DIFFERENT, False),
        (lambda found: not any(found[:-1]), MOST_VARIED, True),
    )
    for fits, share, at_end in tries:
        for bars, found in changes.items():
            if found and fits(found) and _within(strokes, bars * grid, found, share):
                return Repeat(bars, tuple(slot for slots in found for slot in slots), at_end)
    return None


def rhythm_repeats(loop: Loop, part: LoopPart) -> int | None:
    """Bars after which the part's onsets come again exactly, whatever its pitches do; None where they never do."""
    onsets = {stroke[0].onset for stroke in part.strokes}
    for bars in range(1, loop.bars // 2 + 1):
        length = bars * loop.metre.grid
        first = {onset for onset in onsets if onset < length}
        returns = range(0, loop.slots, length)
        if loop.bars % bars == 0 and onsets == {start + onset for start in returns for onset in first}:
            return bars
    return None


def sections_of(loop: Loop, part: LoopPart) -> tuple[Section, ...]:
    """The sections of a part of any length: blocks of equal length with letters, those that always follow each other
    joined.

    Of all block lengths the one that says most in fewest words: strokes that are new, changes in what returns, and
    blocks all cost something. After an upbeat all blocks begin as much earlier than their bar lines.
    """
    strokes, grid = strokes_of(part), loop.metre.grid
    upbeat = upbeat_of(loop, part)
    first_bar = 1 if upbeat else 0
    best: tuple[float, tuple[Section, ...]] | None = None
    for bars in range(1, loop.bars - first_bar + 1):
        blocks = _blocks(strokes, bars * grid, loop.slots, first_bar * grid - upbeat)
        labels, cost = _labels(blocks)
        if best is None or cost < best[0]:
            starts = range(first_bar, loop.bars, bars)
            sections = tuple(
                Section(start, min(start + bars, loop.bars), letter, changed)
                for start, (letter, changed) in zip(starts, labels, strict=False)
            )
            best = (cost, sections)
    return _merged(best[1]) if best else ()


def upbeat_of(loop: Loop, part: LoopPart) -> int:
    """Slots by which a part begins before a bar line, where it leaves more than half of the bar before it empty."""
    first = part.tops[0][0]
    before = -first % loop.metre.grid
    return before if 0 < 2 * before < loop.metre.grid and first < loop.metre.grid else 0


def statements_of(loop: Loop, repeat: Repeat) -> tuple[Section, ...]:
    """A repeating part's statements as sections of one letter."""
    grid = loop.metre.grid
    return tuple(
        Section(bar, bar + repeat.every, "A", sum(bar <= slot // grid < bar + repeat.every for slot in repeat.varied))
        for bar in range(0, loop.bars, repeat.every)
    )


def _changes(strokes: Strokes, length: int, slots: int) -> list[list[int]] | None:
    """For each return the slots at which it is not the first statement; None where the first has too few strokes."""
    first = {onset: pitches for onset, pitches in strokes.items() if onset < length}
    if len(first) < LEAST_STROKES:
        return None
    found = []
    for index, here in enumerate(_blocks(strokes, length, slots, 0)[1:], start=1):
        differing = [slot for slot in sorted({*first, *here}) if first.get(slot) != here.get(slot)]
        found.append([index * length + slot for slot in differing])
    return found


def _within(strokes: Strokes, length: int, changes: list[list[int]], share: float) -> bool:
    first = sum(1 for onset in strokes if onset < length)
    return all(len(slots) <= max(1, share * first) for slots in changes)


def _blocks(strokes: Strokes, length: int, slots: int, begin: int) -> list[Strokes]:
    """The strokes of each block, by slot within it, the first block beginning at slot ``begin``."""
    blocks: list[Strokes] = [{} for _ in range(-(-(slots - begin) // length))]
    for onset, pitches in strokes.items():
        index, slot = divmod(onset - begin, length)
        if index < len(blocks):
            blocks[index][slot] = pitches
    return blocks


def _labels(blocks: list[Strokes]) -> tuple[list[tuple[str, int]], float]:
    """A letter and the number of changed strokes for each block, and what the whole costs."""
    prototypes: list[Strokes] = []
    labels: list[tuple[str, int]] = []
    cost = BLOCK_COST * len(blocks)
    for block in blocks:
        changes = [len(block.keys() | other.keys()) - len(block.items() & other.items()) for other in prototypes]
        nearest = min(range(len(changes)), key=changes.__getitem__, default=None)
        if nearest is not None and changes[nearest] <= _most_changes(block, prototypes[nearest]):
            cost += CHANGE_COST * changes[nearest]
            labels.append((_letter(nearest), changes[nearest]))
        else:
            cost += len(block)
            labels.append((_letter(len(prototypes)), 0))
            prototypes.append(block)
    return labels, cost


def _most_changes(one: Strokes, other: Strokes) -> float:
    """How many strokes two blocks of one letter may differ in."""
    return (1 - SAME_SECTION) * max(1, len(one), len(other))


def _letter(index: int) -> str:
    return chr(ord("A") + index) if index < 26 else f"A{index}"


def _merged(sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """Blocks that never come apart (always B after A) as one section."""
    letters = [section.letter for section in sections]
    follows: dict[str, set[str | None]] = {}
    precedes: dict[str, set[str | None]] = {letters[0]: {None}}
    for one, other in zip(letters, [*letters[1:], None], strict=True):
        follows.setdefault(one, set()).add(other)
        if other is not None:
            precedes.setdefault(other, set()).add(one)
    glued = {
        one: next(iter(after))
        for one, after in follows.items()
        if len(after) == 1 and precedes.get(next(iter(after)) or "") == {one} and next(iter(after)) not in (None, one)
    }
    starts = [0]
    for index in range(1, len(sections)):
        if glued.get(letters[index - 1]) != letters[index]:
            starts.append(index)
    stretches = [sections[a:b] for a, b in zip(starts, [*starts[1:], len(sections)], strict=True)]
    renamed: dict[str, str] = {}
    merged = []
    for stretch in stretches:
        letter = renamed.setdefault(stretch[0].letter, _letter(len(renamed)))
        merged.append(Section(stretch[0].start, stretch[-1].end, letter, sum(s.changed for s in stretch)))
    return tuple(merged)


def form_words(sections: tuple[Section, ...]) -> str:
    """The sections' names in order: ``"A A' B"``."""
    return " ".join(section.name for section in sections)
