"""Valid briefs of every kind, drawn by a number: keys, modes, metres, chords, one to six parts, and their keys.

Chords are mostly those of the key, now and then from outside it. Most keys of a brief are left to their defaults, as
producers leave them; what is drawn may still ask for too much.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from pathlib import Path
from random import Random

from solver.brief.errors import BriefErrors
from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.source import Source, source_from_text
from solver.music.chords import parse_chord
from solver.music.faults import Fault
from solver.music.instruments import find_instrument, load_instruments
from solver.music.pitch import note_name
from solver.music.scales import DEGREES, parse_key

TONICS = ("C", "C#", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
ROOTS = (*TONICS, "D#", "G#", "A#", "Gb")
# Metres, each with grids that it may be cut into.
METRES = {"4/4": (8, 12, 24), "3/4": (6, 9), "2/4": (4, 16), "5/4": (10,), "6/8": (6, 24), "7/8": (7,), "12/8": (12,)}
BARS = (1, 2, 2, 3, 4, 4, 4, 4, 4, 5, 6, 8, 8, 8, 12)
QUALITIES = ("", "", "", "m", "m", "m", "7", "m7", "maj7", "sus2", "sus4", "dim", "aug", "add9", "m9", "5", "m7b5", "6")
ENSEMBLES = (
    ("lead",),
    ("low",),
    ("chords",),
    ("background",),
    ("lead", "low"),
    ("lead", "chords"),
    ("chords", "low"),
    ("lead", "background", "low"),
    ("lead", "background", "low"),
    ("lead", "counter", "low"),
    ("lead", "chords", "low"),
    ("lead", "counter", "background", "low"),
    ("lead", "background", "chords", "low"),
    ("lead", "lead", "low"),
    ("lead", "counter", "background", "chords", "low"),
    ("lead", "lead", "background", "background", "chords", "low"),
)
USUAL = ("electric guitar", "electric guitar", "acoustic guitar")
SELDOM = 0.06  # how often a key that has a default is given


@dataclass(frozen=True)
class Drawn:
    """A valid brief, and how many were drawn before it that are none."""

    source: Source
    plan: Plan
    thrown_away: int


def drawn(seed: int, number: int) -> Drawn:
    """The valid brief of a number."""
    random = Random(f"{seed} {number}")
    path = Path(f"drawn-{seed}-{number}.toml")
    tries = (_read(random, path) for _ in count())
    return next(Drawn(*read, thrown_away) for thrown_away, read in enumerate(tries) if read is not None)


def _read(random: Random, path: Path) -> tuple[Source, Plan] | None:
    """The next brief and its plan; None where its keys cannot be together."""
    try:
        source, findings = source_from_text(brief_text(random), path)
        return None if findings.found else (source, plan_from(source))
    except (BriefErrors, Fault):
        return None


def brief_text(random: Random) -> str:
    """A brief whose keys are each valid alone."""
    metre = random.choice((*METRES, "4/4", "4/4", "4/4"))
    bars = random.choice(BARS)
    key = f"{random.choice(TONICS)} {random.choice((*DEGREES, 'major', 'minor', 'minor'))}"
    chords = [_chord(random, key) for _ in range(random.choice((1, 2, 2, 2, 3, 4, 4)))]
    lines = [f'key = "{key}"', f'meter = "{metre}"', f"bars = {bars}", f"chords = {_listed(chords)}"]
    if _seldom(random):
        lines.append(f"grid = {random.choice(METRES[metre])}")
    if _seldom(random):
        lengths = [random.choice((0.5, 1, 1, 2, 3)) for _ in chords]
        lines.append(f"chord_bars = {lengths if random.random() < 0.5 else lengths[0]}")
    lines.append(f"tempo = {random.randint(60, 180)}")
    lines.append(f"seed = {random.randrange(1000)}")
    if _seldom(random):
        lines.append(f'ornaments = "{random.choice(("few", "many"))}"')
    ensemble = random.choice(ENSEMBLES)
    for number, role in enumerate(ensemble, start=1):
        lines += ["", f"[parts.{role}{number if ensemble.count(role) > 1 else ''}]", f'role = "{role}"']
        lines += _part(random, role, bars)
    return "\n".join(lines) + "\n"


def _seldom(random: Random) -> bool:
    return random.random() < SELDOM


def _listed(words: list[str]) -> str:
    return "[" + ", ".join(f'"{word}"' for word in words) + "]"


def _chord(random: Random, key: str) -> str:
    """A chord whose tones the scale has; now and then any chord; sometimes over another of its tones."""
    scale = parse_key(key).pcs
    while True:
        symbol = random.choice(ROOTS) + random.choice(QUALITIES)
        chord = parse_chord(symbol)
        if random.random() < 0.01 or chord.pcs <= scale:
            return symbol if random.random() < 7 / 8 else f"{symbol}/{random.choice(chord.tones)}"


def _part(random: Random, role: str, bars: int) -> list[str]:
    instruments = load_instruments()
    name = random.choice((*(name for name in instruments if role == "low" or name != "bass guitar"), *USUAL))
    lines = [f'instrument = "{name}"']
    instrument = find_instrument(name, instruments)
    if _seldom(random):
        low = random.randint(instrument.low, instrument.high - 7)
        lines.append(
            f'range = "{note_name(low)}..{note_name(random.randint(low + 5, min(low + 24, instrument.high)))}"'
        )
    if _seldom(random):
        lines.append(f"capo = {random.randint(1, 5)}")
    if _seldom(random):
        fewest = random.randint(0, 4)
        lines.append(f"notes_per_bar = [{fewest}, {fewest + random.randint(0, 4)}]")
    if _seldom(random):
        lines.append(f"repeat_every = {random.choice([n for n in range(1, bars + 1) if bars % n == 0])}")
    if _seldom(random):
        fewest = random.randint(0, 2)
        lines.append(f"vary_notes = [{fewest}, {fewest + random.randint(0, 1)}]")
    if random.random() < 0.1:
        lines.append(f'figure = "{random.choice(("broken chord", "steps"))}"')
    elif random.random() < 0.1:
        lines.append(f'texture = "{random.choice(("single", "dyads", "chords"))}"')
    if _seldom(random):
        lines.append(f'motion = "{random.choice(("down", "up", "hold"))}"')
    if _seldom(random) and role in ("lead", "counter"):
        lines.append(f'ornaments = "{random.choice(("few", "many"))}"')
    return lines
