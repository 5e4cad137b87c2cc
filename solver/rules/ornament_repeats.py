"""A repeat repeats its ornaments: what is played again carries the same one.

Notes that vary carry none; nor does a note that would run into one that varies.
"""

from __future__ import annotations

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.ornaments import RUN
from solver.ornaments import with_following
from solver.rules.rule import Breach, Rule

NAME = "the repeat repeats its ornaments"


def sharers(plan: Plan, part: PartPlan, notes: tuple[Note, ...], first: Note, kind: str) -> list[Note]:
    """A note of the first statement and all that carry its ornament with it, in order."""
    followings = dict(with_following(plan, notes))
    return [
        note
        for note in notes
        if plan.home_slot(part, note.onset) == first.onset
        and note.pitch == first.pitch
        and (kind != RUN or followings[note].pitch == followings[first].pitch)
    ]


def breaches(heard: Heard) -> list[Breach]:
    """Notes of later statements that carry another ornament than the first's."""
    plan, found = heard.plan, []
    for part in plan.parts:
        notes = heard.arrangement.part(part.name)
        if part.repeat_every is None or not any(note.ornament for note in notes):
            continue
        firsts = [note for note in notes if plan.home_slot(part, note.onset) == note.onset and note.ornament]
        wanted = {
            note: first.ornament for first in firsts for note in sharers(plan, part, notes, first, str(first.ornament))
        }
        for note in notes:
            if note.ornament != wanted.get(note):
                why = f"the first statement has {wanted.get(note) or 'no ornament'} here, this one {note.ornament}"
                found.append(Breach(NAME, part.name, note.onset, why))
    return found


RULE = Rule(NAME, breaches)
