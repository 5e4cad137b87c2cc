"""The main job held against outside judgement: every example brief is arranged, and music21 judges the MIDI file.

Judge: music21's key analysis (Krumhansl and Kessler's profiles, see test_key_finding) and its chordify. What is asked
of it: the brief's key among the first five of 24 (two-chord loops are ambiguous by nature), every note in the scale or
its chord, each chord's tones found in its span.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from solver.arrangement import Ranked
from solver.brief.plan import Plan
from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.check import breaches
from solver.export.midi import midi_bytes
from solver.ornaments import added_pitches, decorated

BRIEFS = sorted((Path(__file__).parents[2] / "briefs").glob("*.toml"))
LIMIT = 0.5  # deterministic seconds a rhythm: enough for a valid arrangement, not for its proof
AMONG_FIRST = 5


@dataclass(frozen=True)
class Made:
    """A brief's plan, its best arrangement, and what music21 reads in the MIDI file."""

    plan: Plan
    ranked: Ranked
    score: Any


@cache
def made(path: Path) -> Made:
    from music21 import converter

    from solver.search.pool import arrange

    plan = plan_from(read_brief(path))
    ranked = arrange(plan, count=1, limit=LIMIT).arrangements[0]
    return Made(plan, ranked, converter.parse(midi_bytes(plan, ranked.arrangement), format="midi"))


def ornamental(example: Made) -> set[int]:
    """The pitches that ornaments add."""
    plan, notes = example.plan, example.ranked.arrangement
    return {
        pitch
        for part in plan.parts
        for _, pieces in decorated(plan, part, notes.part(part.name))
        for pitch in added_pitches(pieces)
    }


@pytest.fixture(params=BRIEFS, ids=lambda path: path.stem)
def example(request: pytest.FixtureRequest) -> Made:
    return made(request.param)


def test_there_are_examples_enough() -> None:
    assert len(BRIEFS) >= 10


def test_the_arrangement_keeps_every_rule(example: Made) -> None:
    assert breaches(example.plan, example.ranked.arrangement) == []


def test_music21_finds_all_parts_and_their_notes(example: Made) -> None:
    heard = sorted(
        pitch.midi for part in example.score.parts for note in part.recurse().notes for pitch in note.pitches
    )
    written = {note.pitch for note in example.ranked.arrangement.notes}
    assert written <= set(heard)
    assert set(heard) - written <= ornamental(example)
    assert len(example.score.parts) == len(example.plan.parts)


def test_the_key_is_among_the_first_five(example: Made) -> None:
    best = example.score.analyze("key.krumhanslkessler")
    ranking = [best, *best.alternateInterpretations][:AMONG_FIRST]
    if example.plan.key.mode in ("major", "minor", "harmonic minor", "melodic minor"):
        mode = example.plan.key.mode.split()[-1]
        assert (example.plan.key.tonic.pc, mode) in [(key.tonic.pitchClass, key.mode) for key in ranking]
    else:
        assert example.plan.key.signature in [key.sharps for key in ranking]


def test_every_note_is_in_the_scale_or_the_chord(example: Made) -> None:
    for note in example.ranked.arrangement.notes:
        span = example.plan.span_at(note.onset)
        assert note.pitch % 12 in example.plan.key.pcs | span.chord.pcs


def test_chordify_finds_each_chords_tones_in_its_span(example: Made) -> None:
    plan = example.plan
    quarter = float(plan.metre.grid / plan.metre.quarters_per_bar)
    chords = [(float(chord.offset), chord) for chord in example.score.chordify().flatten().getElementsByClass("Chord")]
    for span in plan.spans:
        start, end = span.start / quarter, span.end / quarter
        sounding = {
            pitch.pitchClass
            for offset, chord in chords
            if offset < end - 1e-6 and offset + float(chord.quarterLength) > start + 1e-6
            for pitch in chord.pitches
        }
        wanted = set(span.chord.pcs)
        if len(plan.parts) == 1 and len(wanted) > 3:
            wanted.discard(span.chord.fifth if span.chord.fifth is not None else -1)
        assert wanted <= sounding, f"{span.chord.symbol} at {plan.place(span.start)}"
