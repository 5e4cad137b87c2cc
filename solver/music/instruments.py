"""Instruments: tunings, frets, what a hand covers, and how they sound. Read from ``shared/instruments.toml``."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from solver.music.faults import Fault, nearest, quoted
from solver.music.pitch import HIGHEST, note_name, parse_note
from solver.shared_data import shared_file

TABLE = "instruments.toml"
STANDARD = "standard"
FEWEST_STRINGS, MOST_STRINGS = 3, 12


@dataclass(frozen=True)
class Instrument:
    """A fretted instrument as it is tuned now. Pitches are MIDI numbers as they sound.

    ``tuning`` is the open strings, low to high, a capo included; ``frets`` are those left above the capo, and all
    fret numbers count from it. ``ring`` is the longest sound in quarter notes, None where a string rings on.
    """

    name: str
    tuning: tuple[int, ...]
    frets: int
    hand_span: int  # frets a hand covers without moving (single lines)
    chord_span: int  # frets a struck chord may cover, open strings aside
    program: int  # General MIDI, 0 to 127
    sound: str
    ring: float | None = None
    capo: int = 0
    tunings: tuple[tuple[str, tuple[int, ...]], ...] = ()  # by name, without capo; "standard" among them

    @property
    def low(self) -> int:
        """The lowest pitch."""
        return self.tuning[0]

    @property
    def high(self) -> int:
        """The highest pitch."""
        return max(self.tuning) + self.frets


def load_instruments(folder: Path | None = None) -> dict[str, Instrument]:
    """The instruments by name, from ``shared/instruments.toml`` of a workspace (by default the current folder).

    The shipped table is read where the workspace has none. Raises TableFault (a ValueError) with file, key and what
    would be right.
    """
    from solver.music.instrument_table import read_table  # pydantic: only where a table is read

    return {instrument.name: instrument for instrument in read_table(shared_file(TABLE, folder))}


def find_instrument(name: str, instruments: dict[str, Instrument]) -> Instrument:
    """The instrument of that name. Raises Fault with the nearest name."""
    if name in instruments:
        return instruments[name]
    near = nearest(name.lower(), instruments)
    hint = f'did you mean "{near}"?' if near else "use one of " + ", ".join(instruments)
    raise Fault(f"no instrument is called {quoted(name)}", hint)


def tuned(instrument: Instrument, tuning: str | list[str] | None = None, capo: int = 0) -> Instrument:
    """The instrument in another tuning, with a capo. Raises Fault (a ValueError).

    ``tuning`` is a name the instrument's row lists ("standard", "drop D"), or its open strings from the lowest to
    the highest, as note names without the capo; None is standard. A capo shortens the neck and raises every string.
    """
    strings = _open_strings(instrument, tuning)
    neck = instrument.frets + instrument.capo
    most = neck - max(instrument.hand_span, instrument.chord_span)
    if not 0 <= capo <= most:
        raise Fault(f"a capo at fret {capo} does not fit the {instrument.name}", f"use 0 to {most}")
    if max(strings) + neck > HIGHEST:
        raise Fault(
            f"{note_name(max(strings))} is too high for the top string", f"use {note_name(HIGHEST - neck)} at most"
        )
    return replace(instrument, tuning=tuple(pitch + capo for pitch in strings), frets=neck - capo, capo=capo)


def check_strings(names: list[str]) -> tuple[int, ...]:
    """Open strings from their note names, low to high. Raises Fault."""
    if not FEWEST_STRINGS <= len(names) <= MOST_STRINGS:
        raise Fault(
            f"a tuning of {len(names)} strings is not possible", f"list {FEWEST_STRINGS} to {MOST_STRINGS} note names"
        )
    strings = tuple(parse_note(name) for name in names)
    for lower, higher in pairwise(strings):
        if higher < lower:
            raise Fault(
                f"{note_name(higher)} follows {note_name(lower)} in the tuning", "list the strings from low to high"
            )
    return strings


def _open_strings(instrument: Instrument, tuning: str | list[str] | None) -> tuple[int, ...]:
    if isinstance(tuning, list):
        return check_strings(tuning)
    known = dict(instrument.tunings)
    wanted = " ".join((tuning or STANDARD).split()).casefold()
    for name, strings in known.items():
        if name.casefold() == wanted:
            return strings
    names = ", ".join(f'"{name}"' for name in known)
    raise Fault(
        f"the {instrument.name} has no tuning {quoted(tuning)}", f'use {names}, or list the strings, like ["D2", …]'
    )
