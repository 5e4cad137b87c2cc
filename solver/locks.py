"""Locks: what a rework keeps of an arrangement, as words and as held notes.

A lock names a part, and bars of it (``low:1-4``, ``low:8``), one aspect (``lead:rhythm``, ``lead:pitch``) or both
(``lead:5-8:pitch``). Without an aspect the notes stay as they are, without bars the whole part is meant. Where the
rhythm of a broken chord is locked, its onsets stay; how long its strings ring is for the pitches to say.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import get_args

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.held import Aspect, Held
from solver.music.faults import Fault, nearest, quoted

ASPECTS: tuple[Aspect, ...] = get_args(Aspect)
NOTES: Aspect = "notes"
_BY_NAME: dict[str, Aspect] = {aspect: aspect for aspect in ASPECTS}
EXAMPLE = "write a part such as lead, and if you like bars and rhythm or pitch, as in low:1-4 or lead:5-8:pitch"
_LOCK = re.compile(
    r"(?P<part>[A-Za-z0-9 _-]+)(?::(?P<first>[0-9]{1,3})(?:-(?P<last>[0-9]{1,3}))?)?(?::(?P<aspect>rhythm|pitch))?"
)


@dataclass(frozen=True)
class Lock:
    """What stays of a part. ``bars`` are its first and last bar, from 1; None is the whole part."""

    part: str
    bars: tuple[int, int] | None = None
    aspect: Aspect = NOTES

    def __str__(self) -> str:
        """The lock as it is written: ``low:1-4``."""
        words = [self.part]
        if self.bars:
            first, last = self.bars
            words.append(f"{first}" if first == last else f"{first}-{last}")
        if self.aspect != NOTES:
            words.append(self.aspect)
        return ":".join(words)


class LockFaults(Exception):
    """All that is wrong with some locks, in the order in which they were given; ``str`` is one line each."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def parse_lock(text: str) -> Lock:
    """A lock from its words. Raises Fault where they are none."""
    match = _LOCK.fullmatch(text)
    if match is None or not match["part"].strip():
        raise Fault(f"{quoted(text)} is no lock", EXAMPLE)
    bars = None
    if match["first"]:
        first = int(match["first"])
        last = int(match["last"] or first)
        if not 1 <= first <= last:
            raise Fault(
                f"{quoted(text)} has no bars from {first} to {last}", "count from 1, the first bar before the last"
            )
        bars = (first, last)
    aspect = _BY_NAME.get(match["aspect"] or "", NOTES)
    return Lock(match["part"].strip(), bars, aspect)


def held_notes(words: Iterable[str], before: Plan, arrangement: Arrangement, plan: Plan) -> tuple[Held, ...]:
    """What locks, given in words, hold of an arrangement made for the plan ``before``, in the slots of the new plan.

    A whole part is held as far as it goes. Raises LockFaults, which tells of every lock that cannot be: one that cannot
    be read, whose part or bars are not there, in which nothing starts, or of which a note falls between the new slots.
    """
    held: list[Held] = []
    faults: dict[str, Fault] = {}
    for text in words:
        try:
            held.append(_held(parse_lock(text), before, arrangement, plan))
        except Fault as fault:
            faults.setdefault(str(fault), fault)
    if faults:
        raise LockFaults(faults.values())
    return tuple(held)


def _held(lock: Lock, before: Plan, arrangement: Arrangement, plan: Plan) -> Held:
    names = [part.name for part in plan.parts]
    if lock.part not in names:
        near = nearest(lock.part, names)
        right = f"did you mean {near}?" if near else f"the parts are {', '.join(names)}"
        raise Fault(f"there is no part {quoted(lock.part)} to lock", right)
    first, last = lock.bars or (1, before.bars)
    bars = min(before.bars, plan.bars)
    if last > bars:
        raise Fault(f"the lock {quoted(lock)} reaches bar {last}, the loop has {bars}", f"lock bars from 1 to {bars}")
    start, end = ((first - 1) * before.metre.grid, last * before.metre.grid)
    notes = tuple(note for note in arrangement.part(lock.part) if start <= note.onset < end)
    if not notes:
        raise Fault(f"{lock.part} starts no note in what {quoted(lock)} locks", "lock bars in which it plays")
    return Held(
        lock.part,
        (first - 1) * plan.metre.grid,
        last * plan.metre.grid,
        lock.aspect,
        _in_slots_of(plan, before, notes, lock),
        f"lock {lock}",
    )


def _in_slots_of(plan: Plan, before: Plan, notes: Sequence[Note], lock: Lock) -> tuple[Note, ...]:
    """The notes in the new plan's slots, which may be longer or shorter than those in which they were made."""
    if plan.metre.name != before.metre.name:
        raise Fault(f"the lock {quoted(lock)} is of {before.metre.name} bars", f"keep meter, or unlock {lock.part}")
    if plan.metre.grid == before.metre.grid:
        return tuple(notes)

    def scaled(slots: int) -> int:
        whole, rest = divmod(slots * plan.metre.grid, before.metre.grid)
        if rest:
            right = f"keep grid, or take a multiple of {before.metre.grid}"
            raise Fault(f"locked notes of {lock.part} fall between {plan.metre.grid} slots a bar", right)
        return whole

    return tuple(replace(note, onset=scaled(note.onset), length=scaled(note.length)) for note in notes)
