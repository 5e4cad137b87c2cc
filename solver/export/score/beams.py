"""Beams: which neighbouring short values share one, level by level."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from solver.export.score.bars import Written
from solver.music.metre import Metre

FLAGS = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}
SEVEN = (2, 2, 3)  # how seven eighths are grouped where nothing says otherwise (common practice, no source)


def beams(metre: Metre, bar: Sequence[Written]) -> list[tuple[str, ...]]:
    """For each value of a bar its beams from the first level on, in MusicXML's words; empty where it has none."""
    edges = _group_edges(metre)
    found: list[tuple[str, ...]] = [()] * len(bar)
    run: list[int] = []
    for index, written in enumerate(bar):
        flags = FLAGS.get(written.value.name, 0) if written.notes else 0
        if not (flags and run and _belong(edges, bar[run[-1]], written)):
            _set_run(bar, run, found)
            run = []
        if flags:
            run.append(index)
    _set_run(bar, run, found)
    return found


def _belong(edges: list[int], one: Written, other: Written) -> bool:
    """Whether two values may share a beam: they lie in one group, and both in the same tuplet or in none."""
    same_group = _group(edges, one.value.start) == _group(edges, other.value.start)
    return same_group and one.value.tuplet == other.value.tuplet


def _set_run(bar: Sequence[Written], run: list[int], found: list[tuple[str, ...]]) -> None:
    """Write the beams of values that stand side by side in one group; one value alone has none."""
    if len(run) < 2:
        return
    flags = [FLAGS[bar[index].value.name] for index in run]
    for at, index in enumerate(run):
        before = flags[at - 1] if at else 0
        after = flags[at + 1] if at + 1 < len(run) else 0
        found[index] = tuple(_beam(level, before, after) for level in range(1, flags[at] + 1))


def _beam(level: int, before: int, after: int) -> str:
    if before >= level and after >= level:
        return "continue"
    if after >= level:
        return "begin"
    if before >= level:
        return "end"
    return "backward hook" if before else "forward hook"


def _group_edges(metre: Metre) -> list[int]:
    """Slots at which a new beam begins: the counted beats, in 7/8 groups of two, two and three."""
    if (metre.numerator, metre.denominator) != (7, 8):
        return sorted(metre.beats)
    edges = [0]
    for eighths in SEVEN[:-1]:
        edges.append(edges[-1] + eighths * metre.slots_per_beat)
    return edges


def _group(edges: list[int], slot: int) -> int:
    return next((index for index, (_, end) in enumerate(pairwise(edges)) if slot < end), len(edges) - 1)
