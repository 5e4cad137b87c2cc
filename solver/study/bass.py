"""The bass: chords that stand on another note than their root, and the low part's notes under each return."""

from __future__ import annotations

from dataclasses import dataclass

from solver.study.evidence import bass_part
from solver.study.harmony import Harmony, Span
from solver.study.loop import Loop, LoopPart


@dataclass(frozen=True)
class BassReturn:
    """A return of the lead: the slot where it starts and the low part's pitch there (None where nothing sounds)."""

    slot: int
    pitch: int | None


def slash_basses(loop: Loop, harmony: Harmony) -> dict[int, int]:
    """Chord spans of the first pass (by their start) that always stand on one chord tone, neither root nor fifth.

    In every pass, each bar of the span has to start on that tone in the lowest part. A fifth in the bass is a bass that
    moves and no other chord. One part alone has no bass.
    """
    if len(loop.parts) < 2:
        return {}
    length = harmony.pass_bars * loop.metre.grid
    part = bass_part(loop)
    found = {}
    for span in harmony.first_pass(loop.metre.grid):
        basses = {
            _sounding(part, slot) for start in range(0, loop.slots, length) for slot in _downbeats(loop, span, start)
        }
        if len(basses) == 1 and None not in basses:
            bass = next(pitch for pitch in basses if pitch is not None) % 12
            if span.chord.degrees.get(bass, "root") not in ("root", "fifth"):
                found[span.start] = bass
    return found


def bass_returns(loop: Loop, low: LoopPart, every: int) -> tuple[BassReturn, ...]:
    """What the low part plays where each statement of ``every`` bars starts."""
    return tuple(BassReturn(slot, _sounding(low, slot)) for slot in range(0, loop.slots, every * loop.metre.grid))


def _downbeats(loop: Loop, span: Span, pass_start: int) -> list[int]:
    """The span's start and the bar lines in it, in one pass."""
    grid = loop.metre.grid
    lines = [slot for slot in range(span.start, span.end) if slot % grid == 0]
    return sorted(pass_start + slot for slot in {span.start, *lines} if pass_start + slot < loop.slots)


def _sounding(part: LoopPart, slot: int) -> int | None:
    """The lowest pitch of a part that sounds in a slot."""
    return min((note.pitch for note in part.notes if note.onset <= slot < note.end), default=None)
