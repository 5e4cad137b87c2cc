"""Where an arrangement comes nearest to what it keeps clear of."""

from __future__ import annotations

from dataclasses import replace

from solver.arrangement import Arrangement, Nearest, Ranked
from solver.avoided import Avoided, LoopLine, bars_of, loop_line
from solver.brief.plan import Plan
from solver.study.similarity import Passage, nearest_passage, shared_runs

DIGITS = 2
MEASURE = (
    "Similarity is 1 - edits / moves of the passage: the edit distance (Levenshtein 1966) between its intervals with "
    "their inter-onset times and the nearest stretch of the reference (Sellers 1980). It is no legal opinion."
)


def with_nearest(plan: Plan, ranked: Ranked) -> Ranked:
    """An arrangement with the passage nearest to each avoided source."""
    return replace(ranked, nearest=nearest(plan, ranked.arrangement))


def nearest(plan: Plan, arrangement: Arrangement) -> tuple[Nearest, ...]:
    """The passage nearest to each avoided source, in the sources' order."""
    lines = [
        line
        for part in plan.parts
        if (line := loop_line(part.name, arrangement.part(part.name), plan.slots, plan.quarters_per_slot))
    ]
    return tuple(_nearest(plan, lines, source) for source in plan.avoid.sources)


def _nearest(plan: Plan, lines: list[LoopLine], source: Avoided) -> Nearest:
    best: tuple[Passage, LoopLine, LoopLine] | None = None
    shared = 0
    for line in lines:
        for other in source.lines:
            shared = max([shared, *(run.moves for run in shared_runs(line, other))])
            passage = nearest_passage(line, other)
            if passage and (best is None or passage.similarity > best[0].similarity):
                best = passage, line, other
    if best is None:
        return Nearest(source.name, None, (), None, (), 0.0, shared)
    passage, line, other = best
    return Nearest(
        source.name,
        line.part,
        bars_of(line, plan.metre.quarters_per_bar, passage.first, passage.first + passage.moves),
        other.part,
        bars_of(other, source.bar, passage.second, passage.last),
        round(passage.similarity, DIGITS),
        shared,
    )


def nearest_words(entry: Nearest) -> str:
    """A nearest passage in words."""
    shared = f"longest shared run {entry.shared} intervals"
    if entry.part is None:
        return f"{entry.source}: only plain passages to compare; {shared}"
    here = f"{entry.part}, {_bars(entry.bars)}"
    there = f"{entry.source_part}, {_bars(entry.source_bars)}"
    return f"{entry.source}: {here}, to its {there}: similarity {entry.similarity:.{DIGITS}f}; {shared}"


def _bars(bars: tuple[int, ...]) -> str:
    if bars[0] > bars[-1]:
        return f"bar {bars[0]} round to bar {bars[-1]}"
    return f"bar {bars[0]}" if bars[0] == bars[-1] else f"bars {bars[0]} to {bars[-1]}"
