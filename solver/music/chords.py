"""Chord symbols: reading them and spelling their tones.

A symbol is a root (A to G with at most one # or b), a quality and, after a slash, a bass note: ``Am``, ``F#m7``,
``Bbmaj7``, ``Dsus2``, ``E7/G#``. Tones are spelled by letters: the third of Bb minor is Db and never C#.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

from solver.music.faults import Fault, nearest, quoted
from solver.music.pitch import Spelled, parse_spelled, plain_accidentals

# Degree: (letters above the root, semitones above it, name).
KEPT = 1024  # symbols that are remembered: more than a brief has

_ROOT = (0, 0, "root")
_MAJOR_SECOND = (1, 2, "second")
_MINOR_THIRD = (2, 3, "third")
_MAJOR_THIRD = (2, 4, "third")
_FOURTH = (3, 5, "fourth")
_FLAT_FIFTH = (4, 6, "fifth")
_FIFTH = (4, 7, "fifth")
_SHARP_FIFTH = (4, 8, "fifth")
_SIXTH = (5, 9, "sixth")
_DIMINISHED_SEVENTH = (6, 9, "seventh")
_MINOR_SEVENTH = (6, 10, "seventh")
_MAJOR_SEVENTH = (6, 11, "seventh")
_NINTH = (1, 2, "ninth")

Degree = tuple[int, int, str]

# Quality as it is written after the root, and its degrees (common practice; tests/outside holds them against music21).
QUALITIES: dict[str, tuple[Degree, ...]] = {
    "": (_ROOT, _MAJOR_THIRD, _FIFTH),
    "m": (_ROOT, _MINOR_THIRD, _FIFTH),
    "dim": (_ROOT, _MINOR_THIRD, _FLAT_FIFTH),
    "aug": (_ROOT, _MAJOR_THIRD, _SHARP_FIFTH),
    "sus2": (_ROOT, _MAJOR_SECOND, _FIFTH),
    "sus4": (_ROOT, _FOURTH, _FIFTH),
    "6": (_ROOT, _MAJOR_THIRD, _FIFTH, _SIXTH),
    "m6": (_ROOT, _MINOR_THIRD, _FIFTH, _SIXTH),
    "7": (_ROOT, _MAJOR_THIRD, _FIFTH, _MINOR_SEVENTH),
    "maj7": (_ROOT, _MAJOR_THIRD, _FIFTH, _MAJOR_SEVENTH),
    "m7": (_ROOT, _MINOR_THIRD, _FIFTH, _MINOR_SEVENTH),
    "mmaj7": (_ROOT, _MINOR_THIRD, _FIFTH, _MAJOR_SEVENTH),
    "m7b5": (_ROOT, _MINOR_THIRD, _FLAT_FIFTH, _MINOR_SEVENTH),
    "dim7": (_ROOT, _MINOR_THIRD, _FLAT_FIFTH, _DIMINISHED_SEVENTH),
    "7sus4": (_ROOT, _FOURTH, _FIFTH, _MINOR_SEVENTH),
    "add9": (_ROOT, _MAJOR_THIRD, _FIFTH, _NINTH),
    "madd9": (_ROOT, _MINOR_THIRD, _FIFTH, _NINTH),
    "9": (_ROOT, _MAJOR_THIRD, _FIFTH, _MINOR_SEVENTH, _NINTH),
    "m9": (_ROOT, _MINOR_THIRD, _FIFTH, _MINOR_SEVENTH, _NINTH),
    "maj9": (_ROOT, _MAJOR_THIRD, _FIFTH, _MAJOR_SEVENTH, _NINTH),
    "69": (_ROOT, _MAJOR_THIRD, _FIFTH, _SIXTH, _NINTH),
    "m69": (_ROOT, _MINOR_THIRD, _FIFTH, _SIXTH, _NINTH),
    "5": (_ROOT, _FIFTH),
}

# Other usual ways to write them.
OTHER_SPELLINGS: dict[str, str] = {
    **dict.fromkeys(("maj", "Maj", "M", "ma", "major"), ""),
    **dict.fromkeys(("min", "mi", "-", "minor"), "m"),
    **dict.fromkeys(("°", "o", "mb5"), "dim"),
    **dict.fromkeys(("+",), "aug"),
    **dict.fromkeys(("sus",), "sus4"),
    **dict.fromkeys(("maj6", "M6", "add6"), "6"),
    **dict.fromkeys(("min6", "mi6", "-6"), "m6"),
    **dict.fromkeys(("dom7",), "7"),
    **dict.fromkeys(("Maj7", "M7", "ma7", "major7", "Δ", "Δ7"), "maj7"),
    **dict.fromkeys(("min7", "mi7", "-7", "minor7"), "m7"),
    **dict.fromkeys(("mM7", "mMaj7", "minmaj7", "minMaj7", "-maj7", "-M7"), "mmaj7"),
    **dict.fromkeys(("min7b5", "mi7b5", "-7b5", "m7-5", "ø", "ø7"), "m7b5"),
    **dict.fromkeys(("°7", "o7"), "dim7"),
    **dict.fromkeys(("7sus", "sus7"), "7sus4"),
    **dict.fromkeys(("madd2", "minadd9", "miadd9", "-add9"), "madd9"),
    **dict.fromkeys(("add2", "majadd9"), "add9"),
    **dict.fromkeys(("dom9",), "9"),
    **dict.fromkeys(("min9", "mi9", "-9"), "m9"),
    **dict.fromkeys(("Maj9", "M9", "ma9", "major9"), "maj9"),
    **dict.fromkeys(("no3",), "5"),
}
_SYMBOL = re.compile(r"([A-G][#b]?)([^/]*)(?:/(.*))?")


@dataclass(frozen=True)
class Chord:
    """A chord. ``symbol`` is its usual spelling (``"Amin7"`` reads as ``Am7``), ``quality`` a key of ``QUALITIES``.

    ``tones`` stand in chord order, root first; ``bass`` is the root where no slash names another (``slash``).
    """

    symbol: str
    root: Spelled
    quality: str
    tones: tuple[Spelled, ...]
    bass: Spelled
    slash: bool

    @cached_property
    def pcs(self) -> frozenset[int]:
        """Pitch classes of all tones, the slash bass included."""
        return frozenset(tone.pc for tone in (*self.tones, self.bass))

    @cached_property
    def _degrees(self) -> dict[int, str]:
        names = {self.bass.pc: "bass"}
        names.update({tone.pc: name for tone, (_, _, name) in zip(self.tones, QUALITIES[self.quality], strict=True)})
        return names

    def degree(self, pc: int) -> str | None:
        """What a pitch class is in the chord: "root", "third", …, "bass" for a foreign slash bass; None outside it."""
        return self._degrees.get(pc % 12)

    @property
    def fifth(self) -> int | None:
        """Pitch class of the fifth, altered or not; None where the chord has none."""
        return next((pc for pc, name in self._degrees.items() if name == "fifth"), None)


@lru_cache(maxsize=KEPT)
def parse_chord(symbol: str) -> Chord:
    """Read a chord symbol. Raises Fault (a ValueError) that names what would be right."""
    text = plain_accidentals("".join(symbol.split())).replace("6/9", "69")  # the one slash that names no bass
    match = _SYMBOL.fullmatch(text)
    if match is None:
        raise Fault(f"{quoted(symbol)} is not a chord symbol", _root_hint(text))
    root = parse_spelled(match[1])
    quality = _quality(match[2], symbol, match[1])
    tones = tuple(root.up(letters, semitones) for letters, semitones, _ in QUALITIES[quality])
    bass = root if match[3] is None else _bass(match[3], symbol)
    slash = bass != root
    canonical = f"{root}{quality}" + (f"/{bass}" if slash else "")
    return Chord(canonical, root, quality, tones, bass, slash)


def _quality(text: str, symbol: str, root: str) -> str:
    plain = text.replace("(", "").replace(")", "") if text.count("(") == text.count(")") else text
    if plain in QUALITIES:
        return plain
    if plain in OTHER_SPELLINGS:
        return OTHER_SPELLINGS[plain]
    if text[:1] in ("#", "b"):
        raise Fault(
            f"the root of chord {quoted(symbol)} has a double accidental", "write the root with one # or b at most"
        )
    near = nearest(plain, [*QUALITIES, *OTHER_SPELLINGS])
    known = ", ".join(["major", *(quality for quality in QUALITIES if quality)])
    hint = (
        f'did you mean "{root}{OTHER_SPELLINGS.get(near, near)}"?'
        if near is not None
        else f"known after the root: {known}"
    )
    raise Fault(f"{quoted(text)} in chord {quoted(symbol)} is not a chord quality known here", hint)


def _bass(text: str, symbol: str) -> Spelled:
    try:
        bass = parse_spelled(text)
    except Fault as fault:
        raise Fault(f"{quoted(text)} after the slash in chord {quoted(symbol)} is not a note", fault.right) from None
    if abs(bass.alter) > 1:
        raise Fault(
            f"{quoted(text)} after the slash in chord {quoted(symbol)} has a double accidental",
            "use one # or b at most",
        )
    return bass


def _root_hint(text: str) -> str:
    first = text[:1]
    if first and first in "abcdefg":
        return f"write the root as a capital: {quoted(first.upper() + text[1:])}"
    return 'start with a root A to G, like "Am", "F#m7" or "E7/G#"'
