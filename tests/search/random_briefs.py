"""Small briefs and rhythms drawn at random, of every kind that the rules tell apart.

What is drawn depends on the generator alone, so a number stands for a brief. Ranges are narrow and bars hold few notes:
the model of such a brief is solved in hundredths of a second.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from random import Random

from solver.brief.plan import PartPlan, Plan
from solver.music.pitch import note_name
from solver.rhythm.skeleton import Onsets, Skeleton, skeleton_from
from solver.rules import every_rule
from solver.rules.bass_returns import returns
from tests.rules.small import plan_of

METRES = (
    ("4/4", 8),
    ("4/4", 8),
    ("4/4", 16),
    ("4/4", 12),
    ("3/4", 6),
    ("6/8", 12),
    ("5/4", 10),
    ("7/8", 7),
    ("2/4", 8),
)
# Bars, bars that each chord lasts, bars of a statement that repeats.
LOOPS = (
    (1, (1,), 1),
    (1, (0.5, 0.5), 1),
    (2, (2,), 1),
    (2, (1, 1), 1),
    (2, (1, 1), 2),
    (3, (1, 2), 1),
    (3, (3,), 1),
    (4, (2, 2), 2),
    (4, (1, 1), 2),
    (4, (3, 1), 2),
    (4, (4,), 2),
)
KEYS = {
    "C major": (
        "C",
        "C",
        "F",
        "F",
        "G",
        "G",
        "Am",
        "Am",
        "Dm",
        "Dm7",
        "G7",
        "Cmaj7",
        "C/E",
        "F/G",
        "G/B",
        "Csus4",
        "F5",
        "Dm9",
        "Bdim",
        "Bb",
        "D7",
    ),
    "A harmonic minor": ("Am", "Am", "E", "E7", "Dm", "F", "Am/C", "Am7", "E/G#", "Bm7b5"),
    "D dorian": ("Dm", "Dm", "G", "Dm7", "C", "Am", "G/D"),
    "G minor": ("Gm", "Gm", "Eb", "D", "D7", "Cm", "F", "Gmadd9"),
}
ENSEMBLES = (
    ("lead",),
    ("background",),
    ("low",),
    ("lead", "low"),
    ("lead", "background"),
    ("lead", "lead"),
    ("background", "low"),
    ("lead", "background", "low"),
    ("lead", "counter", "low"),
    ("lead", "chords"),
    ("chords", "low"),
    ("lead", "background", "chords"),
    ("background", "chords", "low"),
)
# Lowest note, and how wide a range is at least and at most in semitones.
REGISTERS = {"lead": 66, "counter": 63, "background": 60, "chords": 52, "low": 45}
WIDTHS = {"single": (7, 12), "dyads": (12, 16), "chords": (14, 19)}


@dataclass(frozen=True)
class SmallCase:
    """A plan and a rhythm that stage 1 would admit for it; ``keys`` and ``parts`` are what the plan was made of."""

    keys: str
    parts: dict[str, str]
    onsets: dict[str, Onsets]

    @cached_property
    def plan(self) -> Plan:
        """The plan."""
        return plan_of(self.keys, **self.parts)

    @cached_property
    def skeleton(self) -> Skeleton:
        """The note slots."""
        return skeleton_from(self.plan, self.onsets)


def random_case(random: Random) -> SmallCase | None:
    """A case, or None where no rhythm was found that goes with the brief."""
    metre, grid = random.choice(METRES)
    bars, lengths, statement = random.choice(LOOPS)
    if any(length * grid % 1 for length in lengths):
        return None
    key = random.choice(list(KEYS))
    chords = [random.choice(KEYS[key]) for _ in lengths]
    keys = (
        f'key = "{key}"; meter = "{metre}"; grid = {grid}; bars = {bars}; '
        f"chords = {str(chords).replace(chr(39), chr(34))}; chord_bars = {list(map(float, lengths))}"
    )
    roles = random.choice(ENSEMBLES)
    parts = {f"{role}{number}": _part(random, role, grid, bars, statement) for number, role in enumerate(roles)}
    plan = plan_of(keys, **parts)
    onsets = _rhythm(random, plan)
    return SmallCase(keys, parts, onsets) if onsets is not None else None


def _part(random: Random, role: str, grid: int, bars: int, statement: int) -> str:
    keys = [f'role = "{role}"']
    texture = random.choice(("chords", "chords", "single")) if role == "chords" else "single"
    figure = "few notes"
    if texture == "single":
        figures = {"lead": ("few notes", "few notes", "steps", "broken chord"), "chords": ("broken chord",)}
        figure = random.choice(figures.get(role, ("few notes", "few notes", "few notes", "broken chord")))
        if figure == "few notes" and random.random() < 0.15:
            texture = "dyads"
    keys += [f'figure = "{figure}"', f'texture = "{texture}"']
    fewest, most = (12, 16) if figure == "broken chord" else WIDTHS[texture]
    deeper = 8 if texture == "dyads" and role != "low" else 0
    bottom = REGISTERS[role] + random.randint(-5, 3) - deeper
    keys.append(f'range = "{note_name(bottom)}..{note_name(bottom + random.randint(fewest, most))}"')
    fewest_notes, most_notes = random.choice(((0, 8), (0, 4), (1, 5)))
    keys.append(f"notes_per_bar = [{fewest_notes}, {min(most_notes, grid)}]")
    if role == "lead" or random.random() < 0.2:
        keys.append(f"repeat_every = {statement}")
        if statement < bars:
            keys.append(f"vary_notes = {random.choice(([0, 0], [0, 1], [1, 1], [1, 2]))}")
    keys.append(f'motion = "{random.choice(("free",) * 9 + ("down", "up", "hold"))}"')
    return "; ".join(keys)


def _rhythm(random: Random, plan: Plan) -> dict[str, Onsets] | None:
    for _ in range(60):
        onsets = {part.name: _line(random, plan, part) for part in plan.parts}
        if is_admitted(plan, onsets):
            return onsets
    return None


def is_admitted(plan: Plan, onsets: dict[str, Onsets]) -> bool:
    """Whether stage 1 would hand on this rhythm."""
    return all(
        rule.admits is None or rule.admits(plan, part, onsets[part.name])
        for rule in every_rule()
        for part in plan.parts
    ) and all(rule.admits_together is None or rule.admits_together(plan, onsets) for rule in every_rule())


def _line(random: Random, plan: Plan, part: PartPlan) -> Onsets:
    """Onsets in every bar, those that the part's role demands among them; a repeat repeats."""
    grid = plan.metre.grid
    most = min(part.notes_per_bar[1], 4 if plan.bars > 2 or len(plan.parts) > 1 else 5)
    found: set[int] = set()
    for bar in range(plan.bars):
        count = random.randint(min(2, most), most)
        found |= {bar * grid + slot for slot in random.sample(range(grid), count)}
    if plan.bass is part:
        found |= {span.start for span in plan.spans} | {slot for _, slot in returns(plan)}
    if part.role == "background":
        found |= {random.randrange(span.start, span.end) for span in plan.spans if random.random() < 0.8}
    if part.repeat_every is not None:
        statement = part.repeat_every * grid
        first = {onset % statement for onset in found if onset < statement or plan.bass is part}
        found = {start + onset for start in range(0, plan.slots, statement) for onset in first}
    return tuple(sorted(found))
