"""Loops of three voices cut from the corpus' four-part chorales, real and broken: what the merits of texture say.

Kept are soprano, tenor and bass, as lead, background and low part, over the first eight whole bars of 4/4. A loop
without a chord list: assumed is one tonic chord of the major key of the signature, for none of the four merits asks for
harmony but blend, which gives one point more for a fused interval where a chord starts, here in bar 1 alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from random import Random
from typing import Any

from music21 import corpus

from solver.arrangement import Arrangement, Note
from solver.brief.plan import ChordSpan, PartPlan, Plan
from solver.heard import Heard
from solver.merits import blend, contrary_motion, low_intervals, smoothness
from solver.music.chords import parse_chord
from solver.music.instruments import Instrument, load_instruments
from solver.music.metre import parse_metre
from solver.music.scales import parse_key
from tests.outside.corpus_pieces import CORPUS
from tests.outside.ranking.judging import INSTRUMENT

ROLES = ("lead", "background", "low")
VOICES = (0, 2, 3)  # soprano, tenor, bass
BARS = 8
TEXTURE = (blend.NAME, contrary_motion.NAME, low_intervals.NAME, smoothness.NAME)
MAJOR = {-4: "Ab", -3: "Eb", -2: "Bb", -1: "F", 0: "C", 1: "G", 2: "D", 3: "A", 4: "E"}

Voices = dict[str, tuple[Note, ...]]


def chorale_loops(number: int, seed: int = 1) -> Iterator[Heard]:
    """So many loops, from the chorales in an order drawn by a seed."""
    paths = sorted((CORPUS / "bach").glob("bwv*.mxl"))
    Random(seed).shuffle(paths)
    found = 0
    for path in paths:
        heard = _loop(path.stem, corpus.parse(path))
        if heard is not None:
            yield heard
            found += 1
        if found == number:
            return


def swapped(heard: Heard, random: Random) -> Heard:
    """Two neighbouring voices change places: the upper one an octave lower, the lower one an octave higher."""
    upper = random.randrange(2)
    voices = _voices(heard)
    high, low = voices[ROLES[upper]], voices[ROLES[upper + 1]]
    voices[ROLES[upper]] = _moved(low, ROLES[upper], 12)
    voices[ROLES[upper + 1]] = _moved(high, ROLES[upper + 1], -12)
    return _with(heard, voices)


def crossed(heard: Heard, random: Random) -> Heard:
    """Two neighbouring voices keep their roles and exchange octaves, so that they cross."""
    upper = random.randrange(2)
    voices = _voices(heard)
    voices[ROLES[upper]] = _moved(voices[ROLES[upper]], ROLES[upper], -12)
    voices[ROLES[upper + 1]] = _moved(voices[ROLES[upper + 1]], ROLES[upper + 1], 12)
    return _with(heard, voices)


def shifted(heard: Heard, random: Random) -> Heard:
    """One voice a beat later, around the loop."""
    role, beat = random.choice(ROLES), heard.plan.metre.slots_per_beat
    voices = _voices(heard)
    moved: list[Note] = []
    for note in voices[role]:
        onset = (note.onset + beat) % heard.plan.slots
        moved.append(replace(note, onset=onset, length=min(note.length, heard.plan.slots - onset)))
    voices[role] = tuple(sorted(moved))
    return _with(heard, voices)


def transposed(heard: Heard, random: Random) -> Heard:
    """One voice higher or lower by one or two semitones."""
    role = random.choice(ROLES)
    voices = _voices(heard)
    voices[role] = _moved(voices[role], role, random.choice((-2, -1, 1, 2)))
    return _with(heard, voices)


TEXTURE_BREAKINGS: dict[str, Callable[[Heard, Random], Heard]] = {
    "voices swapped in octave, roles too": swapped,
    "voices swapped in octave, crossing": crossed,
    "a voice shifted by a beat": shifted,
    "a voice transposed": transposed,
}


def _voices(heard: Heard) -> Voices:
    return {role: heard.arrangement.part(role) for role in ROLES}


def _moved(notes: tuple[Note, ...], role: str, semitones: int) -> tuple[Note, ...]:
    return tuple(replace(note, part=role, pitch=note.pitch + semitones) for note in notes)


def _with(heard: Heard, voices: Voices) -> Heard:
    """Other voices under the same plan: chance is that of the real chorale's ranges for every version."""
    return Heard(heard.plan, Arrangement(tuple(note for role in ROLES for note in voices[role])))


def _part(role: str, rank: int, notes: tuple[Note, ...], plan: Plan) -> PartPlan:
    return PartPlan(
        name=role,
        role=role,
        instrument=_instrument(),
        low=min(note.pitch for note in notes),
        high=max(note.pitch for note in notes),
        notes_per_bar=(1, plan.metre.grid),
        repeat_every=None,
        vary_notes=(0, 0),
        figure="few notes",
        motion="free",
        texture="single",
        max_leap=24,
        longest=plan.slots,
        rank=rank,
    )


def _instrument() -> Instrument:
    return load_instruments()[INSTRUMENT]


def _loop(name: str, score: Any) -> Heard | None:
    """The first eight whole bars of 4/4; None for chorales in other metres or voices, or off the sixteenths."""
    metre = parse_metre("4/4")
    times = {(s.numerator, s.denominator) for s in score.recurse().getElementsByClass("TimeSignature")}
    signatures = list(score.recurse().getElementsByClass("KeySignature"))
    if len(score.parts) != 4 or times != {(4, 4)} or not signatures or signatures[0].sharps not in MAJOR:
        return None
    measures = [m for m in score.parts[0].getElementsByClass("Measure") if m.duration.quarterLength == 4]
    if len(measures) < BARS:
        return None
    begin = Fraction(measures[0].offset)
    voices: Voices = {}
    for role, index in zip(ROLES, VOICES, strict=True):
        notes = _notes(score.parts[index], role, begin, metre.grid * BARS)
        if notes is None:
            return None
        voices[role] = notes
    key = parse_key(f"{MAJOR[signatures[0].sharps]} major")
    span = ChordSpan(0, 0, metre.grid * BARS, parse_chord(str(key.tonic)), key.pcs, 0)
    plan = Plan(name, name, key, 120, metre, BARS, (span,), (), 0, 1)
    parts = tuple(_part(role, rank, voices[role], plan) for rank, role in enumerate(ROLES))
    return _with(Heard(replace(plan, parts=parts), Arrangement(())), voices)


def _notes(part: Any, role: str, begin: Fraction, slots: int) -> tuple[Note, ...] | None:
    """A voice's notes from ``begin`` (quarters) on, ``slots`` sixteenths long."""
    found = []
    for element in part.stripTies().recurse().notes:
        start = (Fraction(element.getOffsetInHierarchy(part)).limit_denominator(96) - begin) * 4
        length = Fraction(element.quarterLength).limit_denominator(96) * 4
        if start + length <= 0 or start >= slots:
            continue
        if start.denominator != 1 or length.denominator != 1 or len(element.pitches) != 1:
            return None
        onset = max(0, int(start))
        found.append(Note(role, onset, min(int(start + length), slots) - onset, round(element.pitches[0].ps)))
    return tuple(found) or None
