"""Struck chords and dyads can be held: one string a note, the fretted notes within a hand, chord tones only.

A struck chord has three or four notes on neighbouring strings with three different chord tones or more (two for a
chord of two); a dyad has two notes a third to an octave apart, on any two strings.
"""

from __future__ import annotations

from functools import lru_cache

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.music.chords import Chord
from solver.music.fretboard import holds, voicings
from solver.music.instruments import Instrument
from solver.rules.rule import Breach, Rule
from solver.search.state import State

NAME = "every struck chord can be held"
DYAD_INTERVALS = range(3, 13)
CHORD_NOTES = (3, 4)
KEPT = 128  # answers that are remembered: a brief asks for each of its chords in each part's range, again and again


@lru_cache(maxsize=KEPT)
def voicing_states(instrument: Instrument, chord: Chord, low: int, high: int, texture: str) -> tuple[State, ...]:
    """Every way to strike a chord: states with the pitches low to high and their places."""
    size = (2, 2) if texture == "dyads" else CHORD_NOTES
    tones = tuple(sorted(chord.pcs))
    states = set()
    for shape in voicings(instrument, tones, low, high, size, neighbouring=texture != "dyads"):
        sounding = sorted(
            (instrument.tuning[len(instrument.tuning) - string] + fret, (string, fret)) for string, fret in shape
        )
        state = State(tuple(pitch for pitch, _ in sounding), tuple(place for _, place in sounding))
        if is_voiced(state.pitches, chord, texture):
            states.add(state)
    # One way to hold a set of pitches is enough: the lowest on the neck, which is the first.
    by_pitches: dict[tuple[int, ...], State] = {}
    for state in sorted(states, key=lambda s: (s.pitches, max(fret for _, fret in s.places or ()), s.places)):
        by_pitches.setdefault(state.pitches, state)
    return tuple(by_pitches.values())


def is_voiced(pitches: tuple[int, ...], chord: Chord, texture: str) -> bool:
    """Whether pitches (low to high) are a dyad or a struck chord of this chord, the hand apart."""
    pcs = {pitch % 12 for pitch in pitches}
    if not pcs <= chord.pcs:
        return False
    if texture == "dyads":
        return len(pitches) == 2 and pitches[1] - pitches[0] in DYAD_INTERVALS
    return CHORD_NOTES[0] <= len(pitches) <= CHORD_NOTES[1] and len(pcs) >= min(3, len(chord.pcs))


def breaches(heard: Heard) -> list[Breach]:
    """Strokes that are no voicing of their chord or that no hand holds."""
    found = []
    for part in heard.plan.parts:
        if part.is_line:
            continue
        for stroke in heard.of(part):
            chord = heard.plan.span_at(stroke.onset).chord
            if not is_voiced(stroke.pitches, chord, part.texture):
                found.append(
                    Breach(NAME, part.name, stroke.onset, f"these notes are no {part.texture[:-1]} of {chord.symbol}")
                )
            elif not holds(stroke.pitches, part.instrument, neighbouring=part.texture != "dyads"):
                found.append(
                    Breach(NAME, part.name, stroke.onset, f"no hand on {part.instrument.name} holds these notes")
                )
    return found


def allows_state(plan: Plan, part: PartPlan, slot: int, state: State) -> bool:
    """Whether the state is a voicing of the sounding chord (its hand is seen to where states are made)."""
    return part.is_line or is_voiced(state.pitches, plan.span_at(slot).chord, part.texture)


RULE = Rule(NAME, breaches, allows_state=allows_state)
