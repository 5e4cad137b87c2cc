"""One part's line out of any standard MIDI file: which track, which bars, moved onto the grid, and what was noticed.

The same reader as for whole arrangements; only the choice of the track is another.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from solver.arrangement import Note
from solver.brief.plan import PartPlan, Plan
from solver.export.midi_ornaments import folded
from solver.export.midi_parts import Assignment
from solver.export.midi_reading import MidiError, Quantiser, bytes_of, places, swing_in
from solver.export.midi_tracks import PERCUSSION, NotMidi, RawNote, Sequence, parse_sequence
from solver.music.metre import TICKS_PER_QUARTER
from solver.music.pitch import note_name

HIGHEST = 127  # MIDI number
MOST_TRACKS = 8  # tracks that a message lists


@dataclass(frozen=True)
class Wanted:
    """What is to be taken: a track by name or number from 1 (None: the only one), bars from 1 (None: from the first
    to the last in which any track plays, as many as the loop has at most), and by how many semitones to move it."""

    track: int | str | None = None
    bars: tuple[int, int] | None = None
    transpose: int = 0


@dataclass(frozen=True)
class LineRead:
    """Notes from the loop's start on, how many bars were taken, and what a user should know about it."""

    notes: tuple[Note, ...]
    bars: int
    remarks: tuple[str, ...]


def read_line(path: Path, plan: Plan, part: PartPlan, wanted: Wanted) -> LineRead:
    """A part's notes from a file. Raises MidiError with one clear line, which ends in what would be right."""
    try:
        sequence = parse_sequence(bytes_of(path), plan.tempo)
    except NotMidi as problem:
        raise MidiError(path, str(problem)) from problem
    raws = _track(path, sequence, part.name, wanted.track)
    ticks_per_slot = sequence.ticks_per_quarter * plan.metre.ticks_per_slot / TICKS_PER_QUARTER
    played = _bars(sequence, plan.metre.grid, ticks_per_slot)
    first, last = wanted.bars or (1, min(plan.bars, played))
    taken = replace(plan, bars=last - first + 1)
    shift = (first - 1) * plan.metre.grid * ticks_per_slot
    inside = [_moved(raw, -shift, wanted.transpose) for raw in raws if _starts_in(raw, shift, ticks_per_slot)]
    too_far = next((raw.pitch for raw in inside if not 0 <= raw.pitch <= HIGHEST), None)
    if too_far is not None:
        raise MidiError(path, f"a note would be {too_far} in MIDI numbers once transposed; transpose by less")
    swing = swing_in(sequence, Assignment({part.name: inside}, (), 0), plan, ticks_per_slot)
    reader = Quantiser(taken, ticks_per_slot, swing)
    for raw, ornament in folded(plan, part, inside, ticks_per_slot, swing):
        reader.add(part.name, raw, ornament)
    notes = reader.arrangement().notes
    if not notes:
        where = f"bars {first} to {last}" if last > first else f"bar {first}"
        raise MidiError(path, f"no note of that track starts in {where}; give bars in which it plays")
    if wanted.bars:
        reader.outside.clear()  # what lies behind the bars that are asked for is left out on purpose
    beyond = f"the file plays up to bar {played}; bars taken beyond it are silent"
    return LineRead(
        notes, taken.bars, (*([beyond] if last > played else []), *reader.remarks(), *_noticed(plan, part, notes))
    )


def _bars(sequence: Sequence, grid: int, ticks_per_slot: Fraction) -> int:
    """Bars up to the last in which any track plays: a file may be shorter than the loop. Half a slot before or after a
    bar line, a note is taken to be at it."""
    half = ticks_per_slot / 2
    latest = max(max(raw.start + half, raw.end - half) for track in sequence.tracks for raw in track.notes)
    return 1 + int(latest / (grid * ticks_per_slot))


def _starts_in(raw: RawNote, shift: Fraction, ticks_per_slot: Fraction) -> bool:
    """Whether a note starts in the taken bars; one that is a little early for the first still does."""
    return raw.start >= shift - ticks_per_slot / 2


def _moved(raw: RawNote, ticks: Fraction, semitones: int) -> RawNote:
    start = max(0, round(raw.start + ticks))
    return replace(raw, start=start, end=max(start, round(raw.end + ticks)), pitch=raw.pitch + semitones)


def _track(path: Path, sequence: Sequence, part: str, wanted: int | str | None) -> list[RawNote]:
    """The notes of the track that is meant. Drums count only where they are named."""
    found = _tracks(sequence)
    if not found:
        raise MidiError(path, "holds no pitched notes; name a MIDI file in which something is played")
    listed = ", ".join(f'{number} "{name}"' for number, (name, _) in enumerate(found[:MOST_TRACKS], start=1))
    listed += ", …" if len(found) > MOST_TRACKS else ""
    if isinstance(wanted, int):
        if wanted > len(found):
            raise MidiError(path, f"has no track {wanted} with notes; its tracks are {listed}")
        return found[wanted - 1][1]
    name = (wanted or part).casefold()
    named = [notes for title, notes in found if title.casefold() == name]
    if named:
        return [note for notes in named for note in notes]
    if wanted is not None:
        raise MidiError(path, f'has no track "{wanted}" with notes; its tracks are {listed}')
    pitched = [notes for _, notes in found if any(note.channel != PERCUSSION for note in notes)]
    if len(pitched) != 1:
        raise MidiError(path, f"has {len(found)} tracks with notes ({listed}); give track, a name or a number")
    return pitched[0]


def _tracks(sequence: Sequence) -> list[tuple[str, list[RawNote]]]:
    """Tracks with notes; where there is one alone, each of its channels."""
    tracks = [(track.name, list(track.notes)) for track in sequence.tracks if track.notes]
    if len(tracks) != 1:
        return tracks
    _, notes = tracks[0]
    channels = sorted({note.channel for note in notes})
    if len(channels) == 1:
        return tracks
    return [(f"channel {channel + 1}", [n for n in notes if n.channel == channel]) for channel in channels]


def _noticed(plan: Plan, part: PartPlan, notes: tuple[Note, ...]) -> list[str]:
    """Notes outside the part's range, and of a line those that sound together."""
    remarks = []
    far = [note for note in notes if not part.low <= note.pitch <= part.high]
    if far:
        span = f"{note_name(part.low)}..{note_name(part.high)}"
        names = ", ".join(dict.fromkeys(note_name(note.pitch) for note in far))
        remarks.append(
            f"{_counted(far)} outside {part.name}'s range {span}: {names} ({places(plan, [n.onset for n in far])})"
        )
    if part.is_line and not part.rings:
        over = [b for a, b in itertools.pairwise(sorted(notes, key=lambda n: n.onset)) if a.end > b.onset]
        if over:
            where = places(plan, [note.onset for note in over])
            remarks.append(f"{_counted(over)} over the one before, in a part of single notes ({where})")
    return remarks


def _counted(notes: list[Note]) -> str:
    return "1 note" if len(notes) == 1 else f"{len(notes)} notes"
