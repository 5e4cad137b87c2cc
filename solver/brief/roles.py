"""What each role means where a brief leaves it open, in numbers.

Ranges are given in semitones above an instrument's lowest note, densities in notes a bar of 4/4, lengths in quarter
notes. All of them are settings of our own, found by trial, with no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor

from solver.brief.plan import BROKEN, SINGLE
from solver.music.instruments import Instrument
from solver.music.metre import Metre

LEAST_RANGE = 12  # semitones: an octave is left even where the neck ends
BROKEN_NOTES_PER_BAR = (4, 8)  # of a broken chord in any role
BROKEN_LEAD_RANGE = (8, 32)  # a broken chord that leads: in reach of the bass strings, so that it can carry the chords
ALONE_RANGE = (12, 36)  # of a lead that is the only part


@dataclass(frozen=True)
class Role:
    """One role. ``order`` counts from the highest role (0) to the lowest."""

    name: str
    order: int
    notes_per_bar: tuple[int, int]  # fewest and most in a bar of 4/4
    above_lowest: tuple[int, int]  # range, in semitones above the instrument's lowest note
    max_leap: int  # semitones between neighbouring notes
    longest: int  # quarter notes a note may last
    texture: str
    # Whether it repeats where the brief does not say so. A background and struck chords repeat exactly: against a
    # texture that stands still the low part's moves are heard.
    repeats: bool
    vary_notes: tuple[int, int]  # notes that differ in the last statement of a repeating part


LEAD = Role("lead", 0, (3, 5), (22, 38), 12, 2, SINGLE, True, (1, 2))
COUNTER = Role("counter", 1, (1, 4), (15, 31), 9, 2, SINGLE, False, (0, 0))
BACKGROUND = Role("background", 2, (1, 3), (12, 26), 7, 2, SINGLE, True, (0, 0))
CHORDS = Role("chords", 3, (1, 3), (5, 29), 7, 2, "chords", True, (0, 0))
LOW = Role("low", 4, (1, 3), (0, 17), 12, 4, SINGLE, False, (0, 0))
ROLES: dict[str, Role] = {role.name: role for role in (LEAD, COUNTER, BACKGROUND, CHORDS, LOW)}


def default_texture(role: Role, figure: str) -> str:
    """What a role sounds like; a broken chord is played note by note in every role."""
    return SINGLE if figure == BROKEN else role.texture


def default_notes_per_bar(role: Role, figure: str, metre: Metre) -> tuple[int, int]:
    """Fewest and most notes a bar: the role's numbers for 4/4, scaled by the bar's length in quarters.

    Halves are rounded up (a lead in 3/4 has 2 to 4); at least 1, at most one a slot.
    """
    fewest, most = BROKEN_NOTES_PER_BAR if figure == BROKEN else role.notes_per_bar
    scale = metre.quarters_per_bar / 4
    most = min(metre.grid, max(1, _rounded(most * scale)))
    return min(most, max(1, _rounded(fewest * scale))), most


def default_range(role: Role, figure: str, instrument: Instrument, alone: bool) -> tuple[int, int]:
    """Lowest and highest MIDI number: the role's place on the instrument, at least an octave where the neck has one.

    ``alone`` says that the brief has no other part.
    """
    above = role.above_lowest
    if role is LEAD:
        above = BROKEN_LEAD_RANGE if figure == BROKEN else ALONE_RANGE if alone else above
    high = min(instrument.low + above[1], instrument.high)
    low = max(instrument.low, min(instrument.low + above[0], high - LEAST_RANGE))
    return low, high


def longest_slots(role: Role, instrument: Instrument, metre: Metre) -> int:
    """Slots a note may last: the role's quarters, or the instrument's ring where that is shorter; at least 1."""
    quarters = role.longest if instrument.ring is None else min(role.longest, instrument.ring)
    return max(1, floor(Fraction(quarters) * metre.grid / metre.quarters_per_bar))


def _rounded(value: Fraction) -> int:
    return floor(value + Fraction(1, 2))
