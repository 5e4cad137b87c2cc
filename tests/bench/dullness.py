"""Is what the tool makes dull? Statistics of its leads beside those of the tunes of old printed collections.

Of each lead and each tune: sizes of moves, notes repeated, different pitches, syncopation, contours of its two-bar
phrases (Huron 1996, Computing in Musicology 10: first note, mean of those between, last note), where onsets lie. For
each figure: the median of what the tool makes, the tunes' 5 to 95 % band, and the share of the leads inside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from solver.brief.plan import Plan
from solver.heard import Heard
from solver.music.metre import Metre, longuet_higgins_lee
from tests.bench.figure import Bench, Figure
from tests.outside.ranking.tunes import BARS, COLLECTIONS, drawn_loops

TUNES = 100  # of each collection
PHRASE = 2  # bars
# Why a figure lies outside: what the roles ask for.
REASONS = {
    "notes a bar": "the role asks for 3 to 5 notes in 4/4, the tunes are dances of eighths",
    "different pitches": "a lead has 2 to 5 different pitches, by rule",
    "syncopation a bar": "the role's target is medium syncopation; the tunes have hardly any",
}


@dataclass(frozen=True)
class Line:
    """A melody over whole bars, by onset (slots)."""

    metre: Metre
    bars: int
    onsets: tuple[int, ...]
    pitches: tuple[int, ...]


def statistics(line: Line) -> dict[str, float]:
    """Each figure of one line. Shares are of its moves, its onsets or its phrases."""
    sizes = [abs(b - a) for a, b in pairwise(line.pitches)]
    grid, beats = line.metre.grid, line.metre.beats
    half = max(1, grid // (2 * len(beats)))
    contours = [contour(phrase) for phrase in phrases(line)]
    return {
        "notes a bar": len(line.onsets) / line.bars,
        "different pitches": float(len(set(line.pitches))),
        "moves that repeat the note": _share(size == 0 for size in sizes),
        "moves by step (1 or 2 semitones)": _share(1 <= size <= 2 for size in sizes),
        "moves by a third (3 or 4)": _share(3 <= size <= 4 for size in sizes),
        "moves by a fourth to a fifth (5 to 7)": _share(5 <= size <= 7 for size in sizes),
        "larger moves": _share(size > 7 for size in sizes),
        "syncopation a bar": longuet_higgins_lee(line.onsets, line.metre, line.bars) / line.bars,
        "onsets on the beat": _share(onset % grid in beats for onset in line.onsets),
        "onsets between half beats": _share(onset % half != 0 for onset in line.onsets),
        "bars with a note on their first slot": len({o // grid for o in line.onsets if o % grid == 0}) / line.bars,
        "phrases that arch": _share(kind == "arch" for kind in contours),
        "phrases that sag": _share(kind == "sag" for kind in contours),
        "phrases that rise": _share(kind == "rise" for kind in contours),
        "phrases that fall": _share(kind == "fall" for kind in contours),
    }


def phrases(line: Line) -> list[list[int]]:
    """The pitches of each two bars, where there are three or more."""
    width = PHRASE * line.metre.grid
    found: dict[int, list[int]] = {}
    for onset, pitch in zip(line.onsets, line.pitches, strict=True):
        found.setdefault(onset // width, []).append(pitch)
    return [phrase for phrase in found.values() if len(phrase) > 2]


def contour(phrase: Sequence[int]) -> str:
    """Huron's classes, of which those that go one way with a level half count as that way, and the rest as level."""
    first, last = phrase[0], phrase[-1]
    middle = sum(phrase[1:-1]) / (len(phrase) - 2)
    if middle > max(first, last):
        return "arch"
    if middle < min(first, last):
        return "sag"
    return "rise" if last > first else "fall" if last < first else "level"


def lead_of(plan: Plan, heard: Heard) -> Line:
    """The highest lead's line."""
    strokes = heard.of(plan.with_role("lead")[0])
    tops, onsets = (tuple(s.top for s in strokes), tuple(s.onset for s in strokes))
    return Line(plan.metre, plan.bars, onsets, tops)


def compared(ours: Sequence[dict[str, float]], theirs: Sequence[dict[str, float]]) -> list[Figure]:
    """A row for each figure; outside the band the reason, or that there is none."""
    rows = []
    for name in theirs[0]:
        values = sorted(line[name] for line in theirs)
        low, high = values[len(values) // 20], values[len(values) - 1 - len(values) // 20]
        mine = [line[name] for line in ours]
        middle = median(mine)
        inside = sum(low <= value <= high for value in mine) / len(mine)
        remark = "" if low <= middle <= high else f"; outside: {REASONS.get(name, 'NO REASON')}"
        rows.append(Figure(name, f"{middle:.2f}", f"{low:.2f} to {high:.2f}", f"{inside:.0%} inside{remark}"))
    return rows


def figures(bench: Bench) -> list[Figure]:
    """The table; under "aim" stands the band of the tunes."""
    theirs = []
    for folder in COLLECTIONS:
        bench.tell(f"tunes of {folder}")
        theirs += [statistics(Line(t.metre, BARS, t.onsets, t.pitches)) for t in drawn_loops(folder, TUNES)]
    ours = []
    for take in bench.takes:
        ours += [statistics(lead_of(take.plan, Heard(take.plan, made))) for made in take.arrangements]
    return compared(ours, theirs)


def _share(truths: Iterable[bool]) -> float:
    listed = list(truths)
    return sum(listed) / len(listed) if listed else 0.0
