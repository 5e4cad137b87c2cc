"""Form: when a part repeats itself, what its last statement changes, and the sections of a longer piece.

Statements are compared stroke by stroke: onset within the statement and pitches. How long notes last does not count.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.study.loop import Loop, LoopPart

Strokes = dict[int, tuple[int, ...]]  # onset -> pitches

MOST_VARIED = 1 / 3  # share of a statement's strokes that its last return may change
MOST_DIFFERENT = 1 / 4  # share that any return may change where returns differ from each other
LEAST_STROKES = 2  # in a statement
SAME_SECTION = 0.6  # share of strokes that two sections of one letter have in common
BLOCK_COST = 1.0  # strokes' worth that each block of a form costs
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


def repeat_of(loop: Loop, part: LoopPart) -> Repeat | None:
    """The shortest statement of which all returns but the last are exact, or else all are nearly so; None without."""
    strokes, grid = strokes_of(part), loop.metre.grid
    lengths = [bars for bars in range(1, loop.bars // 2 + 1) if loop.bars % bars == 0]
    for bars in lengths:
        found = _changes(strokes, bars * grid, loop.slots)
        if found and not any(found[:-1]) and _within(strokes, bars * grid, found[-1:], MOST_VARIED):
            return Repeat(bars, tuple(found[-1]), at_end=True)
    for bars in lengths:
        found = _changes(strokes, bars * grid, loop.slots)
        if found and _within(strokes, bars * grid, found, MOST_DIFFERENT):
            return Repeat(bars, tuple(slot for changes in found for slot in changes), at_end=False)
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


def sections_of(loop: Loop, part: LoopPart, upbeat: int = 0) -> tuple[Section, ...]:
    """The sections of a part of any length: blocks of equal length with letters, those that follow each other and
    are no return joined.

    ``upbeat`` (slots) is how much earlier than a bar line each block begins. Of all block lengths the one that says
    most in fewest words: strokes that are new, changes in what returns, and blocks all cost something.
    """
    strokes = strokes_of(part)
    best: tuple[float, tuple[Section, ...]] | None = None
    for bars in range(1, loop.bars + 1):
        blocks = _blocks(strokes, bars * loop.metre.grid, loop.slots, upbeat)
        labels, cost = _labels(blocks)
        if best is None or cost < best[0]:
            sections = tuple(
                Section(index * bars, min((index + 1) * bars, loop.bars), letter, changed)
                for index, (letter, changed) in enumerate(labels)
            )
            best = (cost, sections)
    return _merged(best[1]) if best else ()


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
    for start in range(length, slots, length):
        here = {onset - start: pitches for onset, pitches in strokes.items() if start <= onset < start + length}
        found.append([start + slot for slot in sorted({*first, *here}) if first.get(slot) != here.get(slot)])
    return found


def _within(strokes: Strokes, length: int, changes: list[list[int]], share: float) -> bool:
    first = sum(1 for onset in strokes if onset < length)
    return all(len(slots) <= max(1, share * first) for slots in changes)


def _blocks(strokes: Strokes, length: int, slots: int, upbeat: int) -> list[dict[int, tuple[int, ...]]]:
    """The strokes of each block, by slot within it."""
    blocks: list[dict[int, tuple[int, ...]]] = [{} for _ in range(-(-slots // length))]
    for onset, pitches in strokes.items():
        index, slot = divmod(onset + upbeat, length)
        if index < len(blocks):
            blocks[index][slot] = pitches
    return blocks


def _labels(blocks: list[dict[int, tuple[int, ...]]]) -> tuple[list[tuple[str, int]], float]:
    """A letter and the number of changed strokes for each block, and what the whole costs."""
    prototypes: list[dict[int, tuple[int, ...]]] = []
    labels: list[tuple[str, int]] = []
    cost = BLOCK_COST * len(blocks)
    for block in blocks:
        changes = [sum(block.get(s) != other.get(s) for s in {*block, *other}) for other in prototypes]
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
    precedes: dict[str, set[str | None]] = {}
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
