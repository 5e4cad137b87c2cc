"""Chords in time: the fewest that explain the notes, and the pass, the stretch after which they start again.

For each length that a pass may have, the units at the same place in it are added up and the best path through the
chords is found (Viterbi): what a chord explains, less what it costs beforehand and what each change costs. The length
wins that explains the whole loop best for its costs: a list that is given once and heard twice costs less than two.

Where in a piece that is no loop chords of half a bar and more leave too much unexplained, chords may change with
every beat, and cost less.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

from solver.study.chord_fit import Candidate, candidates, costs, fits, missing_costs, roots, wide
from solver.study.evidence import Evidence, Unit, beat_unit, evidence_of, usual_unit
from solver.study.loop import Loop

if TYPE_CHECKING:
    import numpy

# For units of time, how well each candidate (columns) fits what sounds in them (rows), besides the notes.
Sound: TypeAlias = "Callable[[tuple[Unit, ...]], numpy.ndarray]"

CHANGE = 4.5  # what a change at a bar line costs
AT_HALF = 0.6  # share of that which a change in the middle of the pass costs
WITHIN = 9.0  # what a change inside a bar costs
ROOTED = 0.3  # share of its cost that a change saves where the bass always starts it with the new root
AGAIN = 0.3  # share of its cost that a chord which the list holds already still costs
OUT_OF_QUESTION = -1e6  # fit of chords of five tones where chords change with every beat: they would bridge changes
FAST = 0.2  # share of all costs where chords may change with every beat
ENOUGH = 0.85  # share of what sounds that chord tones have to make, or else chords may change with every beat
LONGEST_LIST = 8  # bars up to which a list of chords that comes again, or a whole file, is taken for a loop
GAIN = 0.04  # share that faster chords have to explain beyond that
GROWTH = 0.25  # costs grow with this power of the number of passes: repeats are no new witnesses


@dataclass(frozen=True)
class Span:
    """A chord and the slots in which it lasts, ``start`` to ``end`` (exclusive)."""

    start: int
    end: int
    chord: Candidate


@dataclass(frozen=True)
class Harmony:
    """The chords of a loop. ``pass_bars`` is the length after which the list starts again; ``explained`` is the share
    of what sounds (by length) that is a tone of its chord."""

    spans: tuple[Span, ...]
    pass_bars: int
    explained: float

    def at(self, slot: int) -> Span:
        """The chord span in which a slot lies."""
        return next(span for span in self.spans if span.start <= slot < span.end)

    def first_pass(self, grid: int) -> tuple[Span, ...]:
        """The chord spans of the first pass."""
        return tuple(span for span in self.spans if span.start < self.pass_bars * grid)


def harmony_of(loop: Loop, sound: Sound | None = None) -> Harmony:
    """The chords of a loop; of a sound, by its notes and its chroma together."""
    usual = _harmony(loop, usual_unit(loop), 1.0, sound)
    returns = 2 * usual.pass_bars <= loop.bars and usual.pass_bars <= LONGEST_LIST
    if returns or loop.bars <= LONGEST_LIST or usual.explained >= ENOUGH or beat_unit(loop) == usual_unit(loop):
        return usual
    fast = _harmony(loop, beat_unit(loop), FAST, sound)
    return fast if fast.explained >= usual.explained + GAIN else usual


def with_thirds(harmony: Harmony, loop: Loop, scale: frozenset[int]) -> Harmony:
    """The chords with the key's third where neither third of a triad sounds; ``scale`` is the key's pitch classes."""
    sounding: dict[Candidate, set[int]] = {}
    for span in harmony.spans:
        inside = {n.pitch % 12 for n in loop.notes if n.onset < span.end and n.end > span.start}
        sounding.setdefault(span.chord, set()).update(inside)
    changed: dict[Candidate, Candidate] = {}
    for chord, heard in sounding.items():
        minor, major = (chord.root + 3) % 12, (chord.root + 4) % 12
        if chord.quality in ("", "m") and not heard & {minor, major} and (minor in scale) != (major in scale):
            changed[chord] = Candidate(chord.root, "m" if minor in scale else "")
    spans = [Span(span.start, span.end, changed.get(span.chord, span.chord)) for span in harmony.spans]
    return replace(harmony, spans=_joined(spans))


def explained(loop: Loop, spans: tuple[Span, ...]) -> float:
    """The share of what sounds, by length, that is a tone of the chord under it."""
    inside = total = 0
    tones = {span: frozenset(span.chord.degrees) for span in spans}
    for note in loop.notes:
        total += note.length
        for span in spans:
            if span.start < note.end and span.end > note.onset and note.pitch % 12 in tones[span]:
                inside += min(span.end, note.end) - max(span.start, note.onset)
    return inside / total


def _harmony(loop: Loop, unit: int, price: float, sound: Sound | None) -> Harmony:
    """The chords in units of so many slots, all costs taken times ``price``."""
    evidence = evidence_of(loop, unit)
    fit = fits(evidence) / price
    if sound is not None:
        fit += sound(evidence.units) / price
    if price < 1:
        fit[:, wide()] = OUT_OF_QUESTION
    choices = [_folded(loop, evidence, fit, bars) for bars in range(1, loop.bars + 1) if loop.bars % bars == 0]
    best = max(choices, key=lambda choice: choice.total)
    spans = [
        Span(span.start + start, span.end + start, span.chord)
        for start in range(0, loop.slots, best.bars * loop.metre.grid)
        for span in best.spans
    ]
    joined = _joined(spans)
    return Harmony(joined, best.bars, explained(loop, joined))


@dataclass(frozen=True)
class _Pass:
    bars: int
    spans: tuple[Span, ...]
    total: float


def _folded(loop: Loop, evidence: Evidence, fit: numpy.ndarray, bars: int) -> _Pass:
    """The best chord list for passes of so many bars."""
    per_bar = len(evidence.units) // loop.bars
    width, times = bars * per_bar, loop.bars // bars
    folded = fit.reshape(times, width, -1).sum(axis=0)
    heard = evidence.heard.reshape(times, width, 12).sum(axis=0)
    rooted = evidence.bass.reshape(times, width, 12).mean(axis=0)
    scale = times**GROWTH
    path = _viterbi(folded, rooted, scale, per_bar)
    labels, total = _settled(path, folded, heard, rooted, scale, per_bar)
    units = evidence.units[:width]
    return _Pass(bars, _spans(units, labels), total)


def _viterbi(fit: numpy.ndarray, rooted: numpy.ndarray, scale: float, per_bar: int) -> list[int]:
    """The path of chords with the highest fit less costs."""
    import numpy

    prior = scale * costs()
    best = fit[0] - prior
    pointers = []
    for unit in range(1, len(fit)):
        change = scale * _change_cost(unit, len(fit), per_bar) * (1 - ROOTED * rooted[unit, roots()])
        came = int(best.argmax())
        moved = best[came] - change - prior
        stays = best >= moved
        pointers.append(numpy.where(stays, numpy.arange(len(prior)), came))
        best = numpy.where(stays, best, moved) + fit[unit]
    path = [int(best.argmax())]
    for pointer in reversed(pointers):
        path.append(int(pointer[path[-1]]))
    return path[::-1]


def _settled(
    path: list[int], fit: numpy.ndarray, heard: numpy.ndarray, rooted: numpy.ndarray, scale: float, per_bar: int
) -> tuple[list[int], float]:
    """The path with each span's chord judged by the tones that the whole span lacks and by the rest of the list."""
    stretches = _stretches(path)
    for _ in range(3):
        chosen = [path[first] for first, _ in stretches]
        for index, (first, last) in enumerate(stretches):
            others = chosen[:index] + chosen[index + 1 :]
            worth = fit[first:last].sum(axis=0) - scale * _prior(others, heard[first:last].sum(axis=0))
            chosen[index] = int(worth.argmax())
        settled = [chord for chord, (first, last) in zip(chosen, stretches, strict=True) for _ in range(first, last)]
        if settled == path:
            break
        path, stretches = settled, _stretches(settled)
    total = 0.0
    for index, (first, last) in enumerate(stretches):
        others = [path[at] for at, _ in stretches[:index]]
        price = _prior(others, heard[first:last].sum(axis=0))[path[first]]
        if index:
            saved = ROOTED * rooted[first, candidates()[path[first]].root]
            price += _change_cost(first, len(path), per_bar) * (1 - saved)
        total += float(fit[first:last, path[first]].sum()) - scale * float(price)
    return path, total


def _change_cost(unit: int, units: int, per_bar: int) -> float:
    """What a change at the start of a unit costs in a pass of so many units."""
    if unit % per_bar:
        return WITHIN
    return CHANGE * (AT_HALF if 2 * unit == units else 1.0)


def _prior(others: list[int], heard: numpy.ndarray) -> numpy.ndarray:
    price = costs()
    for chord in set(others):
        price[chord] *= AGAIN
    return price + missing_costs(heard)


def _stretches(path: list[int]) -> list[tuple[int, int]]:
    """First and last unit (exclusive) of each stretch of one chord."""
    starts = [0, *(unit for unit in range(1, len(path)) if path[unit] != path[unit - 1])]
    return list(zip(starts, [*starts[1:], len(path)], strict=True))


def _spans(units: tuple[Unit, ...], labels: list[int]) -> tuple[Span, ...]:
    return tuple(
        Span(units[first].start, units[last - 1].end, candidates()[labels[first]]) for first, last in _stretches(labels)
    )


def _joined(spans: list[Span]) -> tuple[Span, ...]:
    """Neighbouring spans of one chord as one."""
    joined: list[Span] = []
    for span in spans:
        if joined and joined[-1].chord == span.chord:
            joined[-1] = Span(joined[-1].start, span.end, span.chord)
        else:
            joined.append(span)
    return tuple(joined)
