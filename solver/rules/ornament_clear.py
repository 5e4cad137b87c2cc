"""Ornaments keep clear of the other parts: none crosses a part, none is a semitone off one on a strong beat.

Counted while the added notes sound, and with the semitone its octaves (common practice, no source).
"""

from __future__ import annotations

from math import ceil, floor

from solver.arrangement import Note
from solver.brief.plan import PartPlan
from solver.heard import Heard, Stroke
from solver.music.pitch import note_name
from solver.ornaments import Piece, added_between, added_pitches, decorated, shape
from solver.rules.register_order import is_bound
from solver.rules.rule import Breach, Rule

NAME = "ornaments keep clear of the other parts"


def allows_ornament(heard: Heard, part: PartPlan, note: Note, following: Note, kind: str) -> bool:
    """Whether an ornament has room between the other parts."""
    return not fault(heard, part, note, shape(heard.plan, part, note, kind, following))


def fault(heard: Heard, part: PartPlan, note: Note, pieces: tuple[Piece, ...]) -> str:
    """What is in an ornament's way, in words; empty where nothing is."""
    if not pieces:
        return ""
    start, end = added_between(note, pieces)
    slots = range(floor(start), ceil(end))
    for other in heard.plan.parts:
        if other.name == part.name:
            continue
        for stroke in heard.of(other):
            meeting = [slot for slot in slots if stroke.onset <= slot < stroke.end]
            for pitch in added_pitches(pieces) if meeting else ():
                if _crosses(part, other, pitch, stroke):
                    return f"its {note_name(pitch)} crosses {other.name}"
                if _clashes(heard, pitch, stroke, meeting):
                    return f"its {note_name(pitch)} is a semitone off {other.name} on a strong beat"
    return ""


def _crosses(part: PartPlan, other: PartPlan, pitch: int, stroke: Stroke) -> bool:
    if part.rank < other.rank:
        return is_bound(part, other) and stroke.top >= pitch
    return is_bound(other, part) and stroke.pitches[0] <= pitch


def _clashes(heard: Heard, pitch: int, stroke: Stroke, slots: list[int]) -> bool:
    strong = any(slot % heard.plan.metre.grid in heard.plan.metre.strong for slot in slots)
    return strong and any(abs(pitch - sounding) % 12 == 1 for sounding in stroke.pitches)


def breaches(heard: Heard) -> list[Breach]:
    """Ornaments that cross a part or clash with it."""
    return [
        Breach(NAME, part.name, note.onset, why)
        for part in heard.plan.parts
        for note, pieces in decorated(heard.plan, part, heard.arrangement.part(part.name))
        if (why := fault(heard, part, note, pieces))
    ]


RULE = Rule(NAME, breaches, allows_ornament=allows_ornament)
