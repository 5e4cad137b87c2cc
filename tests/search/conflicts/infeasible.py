"""Briefs and locks that ask for too much, each for another cause, with the conflict and the best repair.

They belong to the invented ferry town of the examples. A part's keys are written ``key = value; key = value``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from solver.arrangement import Note
from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.source import Source, source_from_text
from solver.held import Held

HEAD = 'key = "A minor"; bars = 2; chords = ["Am", "F"]; chord_bars = 1; grid = 8'
ONE = 'key = "A minor"; bars = 2; chords = ["Am"]; chord_bars = 1; grid = 8'
TWO = 'key = "A minor"; bars = 2; chords = ["Am"]; chord_bars = 2; grid = 8'
LEAD, LOW = 'range = "A4..E5"', 'range = "E2..E3"'  # narrow, where the range has no part in it: quickly solved
FILE = Path("slack-tide.toml")


@dataclass(frozen=True)
class Lock:
    """Notes of one part that are locked: (slot, length, pitch) each, in the slots ``start`` to ``end``."""

    part: str
    start: int
    end: int
    notes: tuple[tuple[int, int, int], ...]

    def held(self) -> Held:
        """As a plan holds it."""
        notes = tuple(Note(self.part, *note) for note in self.notes)
        return Held(self.part, self.start, self.end, "notes", notes, f"lock {self.part}")


@dataclass(frozen=True)
class Infeasible:
    """A brief that asks for too much, and what is locked."""

    keys: str
    parts: dict[str, str]
    locks: tuple[Lock, ...] = ()

    def text(self) -> str:
        """The brief."""
        lines = self.keys.split("; ")
        for name, keys in self.parts.items():
            lines += ["", f"[parts.{name}]", *(key for key in keys.split("; ") if key)]
        return "\n".join(lines) + "\n"

    def read(self) -> tuple[Source, Plan]:
        """The brief and its plan, locks included."""
        source, findings = source_from_text(self.text(), FILE)
        assert not findings.found
        return source, replace(plan_from(source), held=tuple(lock.held() for lock in self.locks))


BRIEFS: dict[str, Infeasible] = {
    "no root in the low range": Infeasible(TWO, {"lead": "", "low": 'range = "E2..G#2"'}),
    "no named bass in the low range": Infeasible(
        TWO.replace('"Am"', '"Am/C"'), {"lead": "", "low": 'range = "D2..B2"; tuning = "drop D"'}
    ),
    "no chord tone in the lead's range": Infeasible(TWO, {"lead": 'range = "G4..G#4"', "low": ""}),
    "no note of the key": Infeasible(TWO, {"lead": 'range = "C#5..C#5"', "low": ""}),
    "a lead of one pitch": Infeasible(TWO.replace("grid = 8", "grid = 4"), {"lead": 'range = "A4..A4"', "low": LOW}),
    "ranges upside down": Infeasible(TWO, {"lead": 'range = "E3..A3"', "low": 'range = "A3..A4"'}),
    "a default range in the way": Infeasible(TWO, {"lead": 'range = "E2..G2"', "low": LOW}),
    "more background than lead": Infeasible(
        TWO, {"lead": "notes_per_bar = [1, 2]", "middle": 'role = "background"; notes_per_bar = [3, 4]'}
    ),
    "chords faster than the low part": Infeasible(
        HEAD.replace("chord_bars = 1", "chord_bars = 0.5"), {"lead": "", "low": "notes_per_bar = [1, 1]"}
    ),
    "a counter without gaps": Infeasible(
        TWO.replace("grid = 8", "grid = 4"),
        {"lead": "notes_per_bar = [4, 4]", "answer": 'role = "counter"; notes_per_bar = [3, 4]'},
    ),
    "nothing below the root to fall to": Infeasible(HEAD, {"lead": "", "low": 'range = "A2..G3"; motion = "down"'}),
    "nothing above the root to rise to": Infeasible(HEAD, {"lead": "", "low": 'range = "E2..A2"; motion = "up"'}),
    "a bass that has to hold and to move": Infeasible(
        TWO.replace("grid = 8", "grid = 4"),
        {"lead": f"repeat_every = 1; {LEAD}", "low": f'motion = "hold"; {LOW}'},
    ),
    "a bass that repeats under the repeat": Infeasible(
        ONE.replace("grid = 8", "grid = 4"),
        {"lead": f"repeat_every = 1; {LEAD}", "low": f"repeat_every = 1; {LOW}"},
    ),
    "one pitch for a bass that has to move": Infeasible(
        ONE.replace("grid = 8", "grid = 4"), {"lead": f"repeat_every = 1; {LEAD}", "low": 'range = "A2..B2"'}
    ),
    "a broken chord without three tones": Infeasible(
        TWO.replace("grid = 8", "grid = 4"),
        {"strings": 'role = "chords"; figure = "broken chord"; range = "A3..D4"', "low": ""},
    ),
    "no chord in reach": Infeasible(TWO, {"strum": 'role = "chords"; range = "E3..A#3"', "low": ""}),
    "no dyad in reach": Infeasible(TWO, {"strum": 'role = "chords"; texture = "dyads"; range = "E3..F#3"', "low": ""}),
    "too few notes for all chord tones": Infeasible(
        HEAD.replace('"Am", "F"', '"Am7", "Fmaj7"'), {"lead": "notes_per_bar = [1, 2]"}
    ),
    "nothing of the background's own": Infeasible(
        TWO, {"low": 'range = "A2..A3"', "middle": 'role = "background"; range = "A3..A3"'}
    ),
    "two backgrounds with one note": Infeasible(
        TWO,
        {
            "upper": 'role = "background"; range = "C4..C4"',
            "under": 'role = "background"; range = "C3..C3"',
        },
    ),
    "a locked lead under the root": Infeasible(
        TWO,
        {"lead": LEAD, "low": 'range = "E2..A3"'},
        locks=(Lock("lead", 0, 8, ((0, 2, 43), (3, 2, 43), (6, 2, 41))),),
    ),
    "a locked bar to which nothing can rise": Infeasible(
        HEAD, {"lead": "", "low": 'range = "E2..G3"; motion = "up"'}, locks=(Lock("low", 8, 16, ((8, 8, 45),)),)
    ),
    "a locked bar that the root cannot hold": Infeasible(
        TWO, {"lead": "repeat_every = 2", "low": 'motion = "hold"'}, locks=(Lock("low", 8, 16, ((8, 8, 48),)),)
    ),
    "two independent conflicts": Infeasible(TWO, {"lead": 'range = "G4..G#4"', "low": 'range = "E2..G#2"'}),
    "three independent conflicts": Infeasible(
        TWO,
        {
            "lead": 'range = "G4..G#4"',
            "strum": 'role = "chords"; range = "E2..A#2"',
            "low": 'range = "E2..G#2"',
        },
    ),
    "a rhythm conflict of two parts and a pitch": Infeasible(
        TWO,
        {
            "lead": "notes_per_bar = [1, 1]",
            "middle": 'role = "background"; notes_per_bar = [2, 2]',
            "low": 'range = "E2..G#2"',
        },
    ),
}

# What is answered: the lines of each conflict (kind and part), and the repair of the first that is named first.
ANSWERS: dict[str, tuple[tuple[str, ...], str]] = {
    "no root in the low range": (("chords, role low, range low",), "raise the top of low's range from G#2 to A2"),
    "no named bass in the low range": (("chords, role low, range low",), "raise the top of low's range from B2 to C3"),
    "no chord tone in the lead's range": (
        ("key, chords, range lead",),
        "raise the top of lead's range from G#4 to C#5",
    ),
    "no note of the key": (("chords, range lead",), "lower the bottom of lead's range from C#5 to G#4"),
    "a lead of one pitch": (
        ("role lead, range lead, notes_per_bar lead",),
        "raise the top of lead's range from A4 to C5",
    ),
    "ranges upside down": (
        ("role lead, range lead, role low, range low",),
        "raise the top of lead's range from A3 to E4",
    ),
    "a default range in the way": (
        ("chords, role lead, range lead, range low",),
        "raise the top of lead's range from G2 to C#3",
    ),
    "more background than lead": (
        ("role lead, notes_per_bar lead, role middle, notes_per_bar middle",),
        "let lead have 1 to 3 notes a bar instead of 1 to 2",
    ),
    "chords faster than the low part": (
        ("chords, role low, notes_per_bar low",),
        "let low have 1 to 2 notes a bar instead of 1",
    ),
    "a counter without gaps": (
        ("role lead, notes_per_bar lead, role answer",),
        "let lead have 2 to 4 notes a bar instead of 4",
    ),
    "nothing below the root to fall to": (
        ("chords, role low, range low, motion low",),
        "raise the top of low's range from G3 to A3",
    ),
    "nothing above the root to rise to": (
        ("chords, role low, range low, motion low",),
        "raise the top of low's range from A2 to C3",
    ),
    "a bass that has to hold and to move": (
        ("chords, role lead, repeat_every lead, role low, motion low",),
        "let low move freely instead of hold",
    ),
    "a bass that repeats under the repeat": (
        ("role lead, repeat_every lead, role low, repeat_every low",),
        "let lead not repeat (repeat_every = 2)",
    ),
    "one pitch for a bass that has to move": (
        ("chords, role lead, repeat_every lead, role low, range low",),
        "raise the top of low's range from B2 to C3",
    ),
    "a broken chord without three tones": (
        ("chords, figure strings, range strings, notes_per_bar strings",),
        "raise the top of strings's range from D4 to E4",
    ),
    "no chord in reach": (
        ("chords, range strum, instrument strum, texture strum",),
        "raise the top of strum's range from A#3 to C4",
    ),
    "no dyad in reach": (
        ("chords, texture strum, range strum, instrument strum",),
        "raise the top of strum's range from F#3 to A3",
    ),
    "too few notes for all chord tones": (
        ("chords, notes_per_bar lead",),
        "let lead have 1 to 4 notes a bar instead of 1 to 2",
    ),
    "nothing of the background's own": (
        ("chords, role low, role middle, range middle",),
        "raise the top of middle's range from A3 to B3",
    ),
    "two backgrounds with one note": (
        ("chords, range upper, range under",),
        "lower the bottom of upper's range from C4 to E3",
    ),
    "two independent conflicts": (
        (
            "key, chords, range lead",
            "chords, role low, range low",
        ),
        "raise the top of lead's range from G#4 to C#5",
    ),
    "three independent conflicts": (
        (
            "chords, role low, range low",
            "chords, range strum, instrument strum, texture strum",
            "key, chords, range lead",
        ),
        "raise the top of low's range from G#2 to A2",
    ),
    "a rhythm conflict of two parts and a pitch": (
        ("role lead, notes_per_bar lead, role middle, notes_per_bar middle",),
        "",
    ),
    "a locked lead under the root": (("role lead, range lead, lock lead",), "unlock lead bar 1"),
    "a locked bar to which nothing can rise": (
        ("chords, role low, motion low, lock low",),
        "unlock low bar 2",
    ),
    "a locked bar that the root cannot hold": (
        ("chords, role low, motion low, lock low",),
        "let low move freely instead of hold",
    ),
}
