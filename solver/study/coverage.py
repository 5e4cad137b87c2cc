"""Who plays which chord tone, what is missing, and which pitch class a part has for itself."""

from __future__ import annotations

from dataclasses import dataclass

from solver.music.chords import Chord
from solver.music.scales import Key
from solver.study.harmony import Harmony, Span
from solver.study.loop import Loop, LoopPart
from solver.study.spelling import chord_of, root_name


@dataclass(frozen=True)
class Coverage:
    """One chord of the list, over all its times in the loop: degrees by part, degrees that nobody plays, and names
    of the pitch classes that a part alone plays."""

    chord: Chord
    supplied: dict[str, tuple[str, ...]]
    missing: tuple[str, ...]
    own: dict[str, tuple[str, ...]]


def coverage_of(loop: Loop, harmony: Harmony, key: Key) -> tuple[Coverage, ...]:
    """Coverage of each different chord, in the order in which they come."""
    chords: dict[Chord, list[Span]] = {}
    for span in harmony.spans:
        chords.setdefault(chord_of(span.chord, key), []).append(span)
    return tuple(_coverage(loop, key, chord, spans) for chord, spans in chords.items())


def classes_in(part: LoopPart, spans: list[Span]) -> frozenset[int]:
    """The pitch classes that a part sounds within some spans."""
    return frozenset(
        note.pitch % 12 for note in part.notes if any(note.onset < s.end and note.end > s.start for s in spans)
    )


def _coverage(loop: Loop, key: Key, chord: Chord, spans: list[Span]) -> Coverage:
    played = {part.name: classes_in(part, spans) for part in loop.parts}
    everything = frozenset().union(*played.values())
    own = {}
    for name, classes in played.items():
        others = frozenset().union(*(other for part, other in played.items() if part != name))
        own[name] = tuple(root_name(pc, key) for pc in sorted(classes - others))
    return Coverage(
        chord,
        {name: tuple(_degrees(chord, classes)) for name, classes in played.items()},
        tuple(_degrees(chord, chord.pcs - everything)),
        own,
    )


def _degrees(chord: Chord, classes: frozenset[int]) -> list[str]:
    return [degree for tone in chord.tones if tone.pc in classes and (degree := chord.degree(tone.pc))]
