"""Changes of one line of a brief, the nearest first: what might make room in a conflict.

How near a change is, is counted in semitones for ranges and in notes for densities; what cannot be counted has a
setting of our own. Whether a change helps is for others to try.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from solver.brief.errors import BriefErrors
from solver.brief.places import KeyPath
from solver.brief.plan import PartPlan, Plan
from solver.brief.planning import plan_from
from solver.brief.source import Source
from solver.held import Held
from solver.music.chords import parse_chord
from solver.music.pitch import note_name
from solver.search.conflicts.lines import LOCK, Line

if TYPE_CHECKING:
    from solver.brief.schema import Brief

WIDEST = 24  # semitones that a range may be asked to grow by
PLAIN = 3  # how near it is to give up a motion, a capo, a tuning
DEEP = 5  # how near it is to give up a figure, a texture, a chord
TAKEN = ": from = "  # in the words of what a brief takes from a file
LOOSEN = 2  # how near it is to unlock a bar


@dataclass(frozen=True)
class Change:
    """One change: in words, and as a key path with its new value (None: the key is left out) or as what stays locked.

    ``kin`` is equal for changes of which the nearest that helps is enough.
    """

    distance: int
    words: str
    kin: str
    path: KeyPath = ()
    value: Any = None
    held: tuple[Held, ...] | None = None


def changes_of(line: Line, source: Source, plan: Plan) -> list[Change]:
    """Every change of a line that is worth a try, the nearest first."""
    if line.kind == LOCK:
        found = _unlocking(line, plan)
    elif line.part is None:
        found = _of_whole(line, source, plan)
    else:
        found = _of_part(line, source, plan, plan.part(line.part))
    return sorted(found, key=lambda change: change.distance)


def applied(changes: Iterable[Change], source: Source, plan: Plan) -> tuple[Source, Plan] | None:
    """The brief and its plan after changes; None where the brief cannot be so."""
    brief, held = source.brief, plan.held
    for change in changes:
        if change.held is not None:
            held = change.held
        else:
            brief = _edited(brief, change.path, change.value)
    edited = Source(source.path, source.text, brief)
    try:
        new = plan_from(edited, plan.avoid.sources, plan.held)
    except BriefErrors:
        return None
    return edited, replace(new, held=held, excused=plan.excused, seed=plan.seed)


def _edited(brief: Brief, path: KeyPath, value: Any) -> Brief:
    if len(path) == 1:
        return brief.model_copy(update={str(path[0]): value})
    _, name, key = path
    part = brief.parts[str(name)].model_copy(update={str(key): value})
    return brief.model_copy(update={"parts": {**brief.parts, str(name): part}})


def _unlocking(line: Line, plan: Plan) -> Iterator[Change]:
    held = line.held
    if held is None:
        return
    others = tuple(one for one in plan.held if one != held)
    if TAKEN in held.words:
        yield Change(LOOSEN, f"leave out from, so that {held.part} is solved", "from", held=others)
        return
    grid = plan.metre.grid
    bars = range(held.start // grid, (held.end - 1) // grid + 1)
    for bar in bars if len(bars) > 1 else ():
        first, end = max(held.start, bar * grid), min(held.end, (bar + 1) * grid)
        rest = (replace(held, end=first), replace(held, start=end))
        kept = tuple(
            replace(piece, notes=tuple(note for note in held.notes if piece.start <= note.onset < piece.end))
            for piece in rest
            if piece.start < piece.end
        )
        yield Change(LOOSEN, f"unlock {held.part} bar {bar + 1}", f"bar of {line.words}", held=(*others, *kept))
    whole = f"unlock {held.part}" if len(bars) > 1 else f"unlock {held.part} bar {bars[0] + 1}"
    yield Change(LOOSEN + len(bars), whole, f"all of {line.words}", held=others)


def _of_whole(line: Line, source: Source, plan: Plan) -> Iterator[Change]:
    brief = source.brief
    if line.kind == "chords":
        for index, symbol in enumerate(brief.chords):
            for distance, plainer in _plainer(symbol):
                chords = [*brief.chords[:index], plainer, *brief.chords[index + 1 :]]
                words = f"play {plainer} in place of {symbol}"
                yield Change(distance, words, f"chord {index}", ("chords",), chords)
        lengths = {span.end - span.start for span in plan.spans}
        if len(lengths) == 1:
            length = lengths.pop()
            for factor in (2, 4, 8):
                bars = length * factor / plan.metre.grid
                if bars <= plan.bars:
                    words = f"let each chord last {_bars(bars)} instead of {length / plan.metre.grid:g}"
                    yield Change(DEEP + factor // 2, words, "chord_bars", ("chord_bars",), float(bars))
    elif line.kind == "avoid":
        for more in range(1, 6):
            longest = plan.avoid.longest_shared + more
            words = f"let up to {longest} intervals in a row be shared with what is avoided"
            yield Change(more, words, "longest_shared", ("longest_shared",), longest)


def _plainer(symbol: str) -> Iterator[tuple[int, str]]:
    chord = parse_chord(symbol)
    if chord.slash:
        yield PLAIN, f"{chord.root}{chord.quality}"
    tones = frozenset(tone.pc for tone in chord.tones[:3])
    for quality in ("", "m", "dim", "aug"):
        triad = f"{chord.root}{quality}"
        if len(chord.tones) > 3 and frozenset(tone.pc for tone in parse_chord(triad).tones) == tones:
            yield DEEP, triad


def _of_part(line: Line, source: Source, plan: Plan, part: PartPlan) -> Iterator[Change]:
    path: KeyPath = ("parts", part.name, line.kind)
    if line.kind == "range":
        yield from _ranges(path, part)
    elif line.kind == "notes_per_bar":
        for (low, high), distance, kin in _pairs(part.notes_per_bar, plan.metre.grid):
            words = f"let {part.name} have {_span(low, high)} notes a bar instead of {_span(*part.notes_per_bar)}"
            yield Change(distance, words, kin, path, (low, high))
    elif line.kind == "vary_notes":
        for (low, high), distance, kin in _pairs(part.vary_notes, part.notes_per_bar[1]):
            words = f"let {part.name} vary {_span(low, high)} notes instead of {_span(*part.vary_notes)}"
            yield Change(distance, words, kin, path, (low, high))
    elif line.kind == "repeat_every" and part.repeat_every is not None:
        for bars in (bars for bars in range(1, plan.bars) if plan.bars % bars == 0 and bars != part.repeat_every):
            words = f"let {part.name} repeat every {_bars(bars)} instead of {part.repeat_every}"
            yield Change(PLAIN + abs(bars - part.repeat_every), words, "repeat", path, bars)
        yield Change(PLAIN + 1, f"let {part.name} not repeat (repeat_every = {plan.bars})", "none", path, plan.bars)
    elif line.kind == "motion":
        yield Change(PLAIN, f"let {part.name} move freely instead of {part.motion}", "motion", path, "free")
    elif line.kind == "figure":
        yield Change(DEEP, f'let {part.name} play "few notes" instead of "{part.figure}"', "figure", path, "few notes")
    elif line.kind == "texture":
        for step, texture in enumerate(("dyads", "single")):
            if texture != part.texture and not (part.texture == "dyads" and texture == "chords"):
                words = f"let {part.name} play {texture.replace('single', 'single notes')} instead of {part.texture}"
                yield Change(DEEP + step, words, "texture", path, texture)
    elif line.kind == "capo" and part.instrument.capo:
        yield Change(PLAIN, f"take {part.name}'s capo off", "capo", path, 0)
    elif line.kind == "tuning":
        yield Change(PLAIN, f"tune {part.name}'s instrument as usual", "tuning", path, None)


def _ranges(path: KeyPath, part: PartPlan) -> Iterator[Change]:
    low, high, instrument = part.low, part.high, part.instrument
    for more in range(1, WIDEST + 1):
        if high + more <= instrument.high:
            words = f"raise the top of {part.name}'s range from {note_name(high)} to {note_name(high + more)}"
            yield Change(more, words, "top", path, f"{note_name(low)}..{note_name(high + more)}")
        if low - more >= instrument.low:
            words = f"lower the bottom of {part.name}'s range from {note_name(low)} to {note_name(low - more)}"
            yield Change(more, words, "bottom", path, f"{note_name(low - more)}..{note_name(high)}")


def _pairs(pair: tuple[int, int], most: int) -> Iterator[tuple[tuple[int, int], int, str]]:
    """Wider pairs and pairs moved as a whole, with how far they are and what they have in common."""
    low, high = pair
    for step in range(1, most + 1):
        if low - step >= 0:
            yield (low - step, high), step, "fewer"
        if high + step <= most:
            yield (low, high + step), step, "more"


def _bars(bars: float) -> str:
    return "1 bar" if bars == 1 else f"{bars:g} bars"


def _span(low: int, high: int) -> str:
    return f"{low}" if low == high else f"{low} to {high}"
