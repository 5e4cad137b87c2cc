"""Smallest loops, different in kind: a brief with a rhythm, written by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Skeleton, skeleton_from
from tests.rules.small import onsets_of, plan_of

TUNING = (40, 45, 50, 55, 60, 65, 70)  # seven strings in fourths
FRETS = 9


@dataclass(frozen=True)
class Loop:
    """A brief's keys, those of its parts, and each part's rhythm: ``x`` starts a note.

    The instruments are given a long reach over a short neck, so that there is one hand position: each would count every
    solution once more. ``hand`` is the reach in frets.
    """

    keys: str
    parts: dict[str, str]
    rhythm: dict[str, str]
    hand: int = FRETS

    def plan(self) -> Plan:
        """The plan, on short necks."""
        plan = plan_of(self.keys, **{part: f"{keys}; {self._density(part)}" for part, keys in self.parts.items()})
        necks = (replace(part.instrument, tuning=TUNING, frets=FRETS, hand_span=self.hand) for part in plan.parts)
        parts = (replace(part, instrument=neck) for part, neck in zip(plan.parts, necks, strict=True))
        return replace(plan, parts=tuple(parts))

    def _density(self, part: str) -> str:
        counts = [bar.split().count("x") for bar in self.rhythm[part].split("|")]
        return f"notes_per_bar = [{min(counts)}, {max(counts)}]"

    def skeleton(self, plan: Plan) -> Skeleton:
        """The note slots of the rhythm."""
        return skeleton_from(
            plan, onsets_of(plan, **{part: line.replace("x", "C4") for part, line in self.rhythm.items()})
        )


TWO_BARS = "bars = 2; chord_bars = 2"
TWO_CHORDS = 'bars = 2; chords = ["C", "F"]; chord_bars = 1'

LOOPS: dict[str, Loop] = {
    "a lead alone": Loop("", {"lead": 'range = "G4..E5"'}, {"lead": "x . . x . . x ."}),
    "a lead that repeats and varies": Loop(
        f"{TWO_BARS}; grid = 4",
        {"lead": 'range = "G4..E5"; repeat_every = 1; vary_notes = [1, 1]'},
        {"lead": "x x x . | x x x ."},
    ),
    "a lead that may vary or not": Loop(
        "bars = 3; chord_bars = 3; grid = 4",
        {"lead": 'range = "G4..E5"; repeat_every = 1; vary_notes = [0, 2]'},
        {"lead": "x . x x | x . x x | x . x x"},
    ),
    "a lead that repeats exactly over another chord": Loop(
        'bars = 2; chords = ["C", "Em"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "E4..C5"; repeat_every = 1; vary_notes = [0, 0]', "low": 'range = "B2..G3"'},
        {"lead": "x . x x | x . x x", "low": "x . . . | x . x ."},
    ),
    "a lead and a low part under its returns": Loop(
        f"{TWO_BARS}; grid = 4",
        {"lead": 'range = "G4..E5"; repeat_every = 1; vary_notes = [0, 1]', "low": 'range = "C3..G3"'},
        {"lead": "x . x . | x . x .", "low": "x . x . | x . . ."},
    ),
    "a lead in steps": Loop(
        "",
        {"lead": 'range = "E4..C5"; figure = "steps"', "low": 'range = "C3..G3"'},
        {"lead": "x . . x . x x .", "low": "x . . . x . . ."},
    ),
    "a lead that goes up bar by bar": Loop(
        f"{TWO_BARS}; grid = 4",
        {"lead": 'range = "A4..G5"; motion = "up"'},
        {"lead": "x . x . | . x x ."},
    ),
    "a lead under one hand": Loop("grid = 4", {"lead": 'range = "G2..E5"'}, {"lead": "x x . x"}, hand=4),
    "two leads": Loop(
        "grid = 4",
        {"first": 'role = "lead"; range = "C5..G5"', "second": 'role = "lead"; range = "A4..E5"'},
        {"first": "x . x x", "second": "x x . ."},
    ),
    "a lead in dyads": Loop(
        'grid = 4; chords = ["C7"]',
        {"lead": 'range = "E4..G5"; texture = "dyads"'},
        {"lead": "x . x ."},
    ),
    "a lead in dyads that repeats over another chord": Loop(
        'bars = 2; chords = ["C", "Am"]; chord_bars = 1; grid = 4',
        {
            "lead": 'range = "C4..C5"; texture = "dyads"; repeat_every = 1; vary_notes = [0, 1]',
            "low": 'range = "G2..D3"',
        },
        {"lead": "x . x . | x . x .", "low": "x . x . | x . x ."},
    ),
    "a broken chord": Loop(
        "grid = 4",
        {"lead": 'range = "C3..C4"; figure = "broken chord"'},
        {"lead": "x x x ."},
        hand=5,
    ),
    "a broken chord under two chords": Loop(
        'bars = 2; chords = ["C", "Am"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "C4..A4"; figure = "broken chord"'},
        {"lead": "x x x . | x . x x"},
    ),
    "a broken chord that repeats over another chord": Loop(
        'bars = 2; chords = ["Am", "C"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "A3..E4"; figure = "broken chord"; repeat_every = 1', "low": 'range = "G2..E3"'},
        {"lead": "x x x . | x x x .", "low": "x . . . | x . x ."},
        hand=5,
    ),
    "a broken chord that rings under a lead": Loop(
        "grid = 4",
        {"lead": 'range = "E4..C5"', "chords": 'range = "C4..G4"; figure = "broken chord"'},
        {"lead": "x . x .", "chords": ". x x x"},
    ),
    "struck chords over a low part": Loop(
        'grid = 4; chords = ["Am"]',
        {"chords": 'range = "C4..A4"', "low": 'range = "A2..A3"'},
        {"chords": "x . x .", "low": "x x . x"},
    ),
    "struck chords that enclose the background": Loop(
        "grid = 4",
        {"lead": 'range = "C5..E5"', "background": 'range = "C4..B4"', "chords": 'range = "C4..G4"'},
        {"lead": "x . x .", "background": ". x . x", "chords": "x . . ."},
    ),
    "a background with the tone that is missing": Loop(
        "grid = 4",
        {"lead": 'range = "C5..G5"', "background": 'range = "C4..G4"', "low": 'range = "C3..E3"'},
        {"lead": "x . x .", "background": "x . . x", "low": "x . x ."},
    ),
    "a background with a note outside the chord": Loop(
        'grid = 4; chords = ["C5"]',
        {"lead": 'range = "C5..G5"', "background": 'range = "C4..B4"'},
        {"lead": "x x x .", "background": "x x . x"},
    ),
    "a background in dyads": Loop(
        'grid = 4; chords = ["C6"]',
        {"lead": 'range = "G4..E5"', "background": 'range = "C4..C5"; texture = "dyads"'},
        {"lead": "x . x x", "background": "x . x ."},
    ),
    "a background under two chords": Loop(
        f"{TWO_CHORDS}; grid = 4",
        {"background": 'range = "E4..C5"', "low": 'range = "C3..F3"'},
        {"background": "x . x . | . x x .", "low": "x . . x | x . . ."},
    ),
    "a background that repeats": Loop(
        'bars = 2; chords = ["C", "Am"]; chord_bars = 1; grid = 4',
        {"background": 'range = "C4..C5"; repeat_every = 1; vary_notes = [0, 1]', "low": 'range = "G2..E3"'},
        {"background": "x . x . | x . x .", "low": "x . x . | x . . ."},
    ),
    "a background alone": Loop(
        'grid = 4; chords = ["C5"]', {"background": 'range = "C4..C5"'}, {"background": "x x . x"}
    ),
    "a counter": Loop(
        "grid = 4",
        {"lead": 'range = "G4..E5"', "counter": 'range = "C4..A4"'},
        {"lead": "x . x .", "counter": "x x . x"},
    ),
    "a slash chord": Loop(
        'bars = 2; chords = ["C", "F/A"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "C5..G5"', "low": 'range = "G2..F3"'},
        {"lead": "x . x . | x . . .", "low": "x . x . | x . x ."},
    ),
    "a bass outside the chord": Loop(
        'grid = 4; chords = ["C/D"]',
        {"lead": 'range = "C5..G5"', "low": 'range = "B2..G3"'},
        {"lead": "x . x .", "low": "x . x x"},
    ),
    "a chord outside the scale": Loop(
        'key = "A minor"; bars = 2; chords = ["Am", "E7"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "G#4..E5"', "low": 'range = "A2..E3"'},
        {"lead": "x x . . | x x . .", "low": "x . . . | x . x ."},
    ),
    "a low part that goes down": Loop(
        'bars = 2; chords = ["C", "Am"]; chord_bars = 1; grid = 4',
        {"low": 'range = "E3..E4"; motion = "down"'},
        {"low": "x . x x | x . x x"},
    ),
    "a low part that holds": Loop(
        'bars = 2; chords = ["C", "Am"]; chord_bars = 1; grid = 4',
        {"lead": 'range = "C5..G5"', "low": 'range = "A2..E3"; motion = "hold"'},
        {"lead": "x . x . | x . x .", "low": "x . x . | x . . x"},
    ),
    "a low part in dyads": Loop(
        'grid = 4; chords = ["Am"]',
        {"lead": 'range = "C5..A5"', "low": 'range = "A2..E4"; texture = "dyads"'},
        {"lead": "x . x .", "low": "x . x ."},
    ),
    "chords of half a bar": Loop(
        'chords = ["C", "G"]; chord_bars = 0.5; grid = 8',
        {"background": 'range = "C4..C5"', "low": 'range = "B2..G3"'},
        {"background": ". x . . x . . x", "low": "x . . x x . . ."},
    ),
    "a waltz": Loop(
        'meter = "3/4"; grid = 6; chords = ["C6"]',
        {"lead": 'range = "G4..E5"', "low": 'range = "C3..A3"'},
        {"lead": "x . x x . .", "low": "x . . . x ."},
    ),
    "six eighths": Loop(
        'meter = "6/8"; grid = 6; chords = ["Dm"]',
        {"lead": 'range = "F4..D5"'},
        {"lead": "x . x . x x"},
    ),
    "five quarters": Loop(
        'meter = "5/4"; grid = 5; chords = ["G"]',
        {"lead": 'range = "G4..D5"', "low": 'range = "G2..D3"'},
        {"lead": "x . x x .", "low": "x x . . x"},
    ),
    "seven eighths": Loop(
        'meter = "7/8"; grid = 7; chords = ["Em"]; key = "E minor"',
        {"lead": 'range = "E4..B4"'},
        {"lead": "x . x . x . x"},
    ),
}
