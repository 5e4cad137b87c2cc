"""Read any standard MIDI file back into the notes of a plan's parts.

Formats 0, 1 and 2, any resolution, running status, missing tempo and foreign chunks are all read. Notes move to the
nearest slot of the plan's grid; where the brief swings and the file does too, swing is undone first. What had to be
mended is told in remarks; what cannot be read is one MidiError.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.export.midi_ornaments import folded
from solver.export.midi_parts import Assignment, PartsNotMatched, match_parts
from solver.export.midi_tracks import NotMidi, RawNote, Sequence, parse_sequence
from solver.export.swing import Swing, swing_from_text, swing_of
from solver.music.metre import TICKS_PER_QUARTER

LARGEST_FILE = 5_000_000  # bytes
TOLERANCE = Fraction(1, 4)  # slots a note may be off the grid without a remark
PLAYED_TOLERANCE = 0.28  # slots a note of a file that swings may be off once swing is undone
TEMPO_TOLERANCE = 0.005  # share by which a file's tempo may differ without a remark
ENDS_COUNT = 0.1  # how much a note's end counts against its start where it is asked whether a file swings
MOST_PLACES = 4  # places a remark lists before it only counts


class MidiError(Exception):
    """A file that cannot be read as the notes of a brief: ``path: message`` on one line."""

    def __init__(self, path: Path, message: str) -> None:
        self.path, self.message = path, message
        super().__init__(f"{path}: {message}")


@dataclass(frozen=True)
class MidiReading:
    """The notes of a file, and what a user should know about how they were read.

    ``left_out`` counts the notes that lie outside the brief's bars or belong to none of its parts.
    """

    arrangement: Arrangement
    remarks: tuple[str, ...]
    left_out: int


def read_midi(path: Path, plan: Plan) -> MidiReading:
    """Read a MIDI file as an arrangement of the plan's parts. Raises MidiError with one clear line."""
    data = bytes_of(path)
    try:
        sequence = parse_sequence(data, plan.tempo)
        assignment = match_parts(sequence, plan)
    except (NotMidi, PartsNotMatched) as problem:
        raise MidiError(path, str(problem)) from problem
    slot = sequence.ticks_per_quarter * plan.metre.ticks_per_slot / TICKS_PER_QUARTER
    swing = swing_in(sequence, assignment, plan, slot)
    reader = Quantiser(plan, slot, swing)
    for part, notes in assignment.parts.items():
        for raw, ornament in folded(plan, plan.part(part), notes, slot, swing):
            reader.add(part, raw, ornament)
    arrangement = reader.arrangement()
    if not arrangement.notes:
        raise MidiError(path, f"no note starts within the {plan.bars} bars of the brief; move the notes to bar 1")
    remarks = (*_head_remarks(sequence, plan), *assignment.remarks, *reader.remarks())
    return MidiReading(arrangement, remarks, assignment.left_out + len(reader.outside))


def bytes_of(path: Path) -> bytes:
    """A file's content. Raises MidiError where it cannot be read or is larger than a loop can be."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise MidiError(path, f"cannot be read ({error.strerror or error}); name a MIDI file") from error
    if len(data) > LARGEST_FILE:
        raise MidiError(path, f"is larger than {LARGEST_FILE // 1_000_000} MB; name a MIDI file of one loop")
    return data


def _head_remarks(sequence: Sequence, plan: Plan) -> list[str]:
    """Where tempo and metre of the file differ from the brief's; the brief's are used."""
    remarks = []
    if sequence.tempo is not None and abs(sequence.tempo / plan.tempo - 1) > TEMPO_TOLERANCE:
        remarks.append(f"the file's tempo is {sequence.tempo:g}, the brief's {plan.tempo:g}")
    if sequence.metre is not None and sequence.metre != (plan.metre.numerator, plan.metre.denominator):
        remarks.append("the file's metre is {}/{}, the brief's {}".format(*sequence.metre, plan.metre.name))
    return remarks


def swing_in(sequence: Sequence, assignment: Assignment, plan: Plan, ticks_per_slot: Fraction) -> Swing | None:
    """The swing with which a file is played: the one that it tells of, else the brief's, if its notes fit that.

    A file that tells of swing may have been evened out since; then its notes leave the grid once swing is undone.
    """

    def off(swing: Swing | None) -> tuple[list[float], list[float]]:
        """How far notes start and end off the grid once a swing is undone, ornaments taken together."""
        notes = [
            raw
            for name, raws in assignment.parts.items()
            for raw, _ in folded(plan, plan.part(name), raws, ticks_per_slot, swing)
        ]
        even = swing.even if swing else float
        starts, ends = ([float(getattr(raw, at) / ticks_per_slot) for raw in notes] for at in ("start", "end"))
        return [_off(even(at)) for at in starts], [_off(even(at)) for at in ends]

    for text in sequence.texts:
        told = swing_from_text(text, plan.metre)
        if told and max(off(told)[0], default=0.0) <= PLAYED_TOLERANCE:
            return told
    if plan.feel.swing == 1:
        return None
    swing = swing_of(plan.feel, plan.metre)
    return swing if _misfit(*off(swing)) < _misfit(*off(None)) else None


def _misfit(starts: Iterable[float], ends: Iterable[float]) -> float:
    """How badly notes fit the grid; how they end counts little."""
    return sum(off**2 for off in starts) + ENDS_COUNT * sum(off**2 for off in ends)


def _off(slots: float) -> float:
    """How far a time is from the nearest slot."""
    return abs(slots - round(slots))


class Quantiser:
    """Gathers notes in slots, and what was changed on the way."""

    def __init__(self, plan: Plan, ticks_per_slot: Fraction, swing: Swing | None) -> None:
        self.plan, self.ticks_per_slot, self.swing = plan, ticks_per_slot, swing
        self.notes: dict[tuple[str, int, int], int] = {}  # part, onset, pitch -> length
        self.ornaments: dict[tuple[str, int, int], str] = {}
        self.moved: list[int] = []
        self.hanging: list[int] = []
        self.empty: list[int] = []
        self.doubled: list[int] = []
        self.past_end: list[int] = []
        self.outside: list[int] = []

    def add(self, part: str, raw: RawNote, ornament: str | None = None) -> None:
        """Take in one note of a part."""
        slots = self.plan.slots
        exact, exact_end = self._slot(raw.start), self._slot(raw.end)
        onset, end = nearest(exact), nearest(exact_end)
        if exact >= slots:
            self.outside.append(onset)
            return
        if onset == slots:  # pushed ahead of the loop's first beat: the loop's end is its start
            onset, end = 0, end - slots
        if abs(exact - nearest(exact)) > TOLERANCE:
            self.moved.append(onset)
        if raw.hanging:
            self.hanging.append(onset)
        elif raw.start == raw.end:
            self.empty.append(onset)
        if end > slots:
            if not raw.hanging:
                self.past_end.append(onset)
            end = slots
        key, length = (part, onset, raw.pitch), max(1, end - onset)
        if key in self.notes:
            self.doubled.append(onset)
        self.notes[key] = max(length, self.notes.get(key, 0))
        if ornament:
            self.ornaments[key] = ornament

    def _slot(self, tick: int) -> Fraction:
        """Where a tick lies, in slots, as if it had been played evenly."""
        exact = tick / self.ticks_per_slot
        return Fraction(self.swing.even(float(exact))) if self.swing else exact

    def arrangement(self) -> Arrangement:
        """The notes gathered, each cut where the same part strikes its pitch again."""
        notes: list[Note] = []
        following: dict[tuple[str, int], int] = {}
        for part, onset, pitch in sorted(self.notes, key=lambda key: -key[1]):
            room = following.get((part, pitch), self.plan.slots) - onset
            key = (part, onset, pitch)
            notes.append(Note(*key[:2], min(self.notes[key], room), pitch, ornament=self.ornaments.get(key)))
            following[part, pitch] = onset
        return Arrangement(tuple(notes))

    def remarks(self) -> list[str]:
        """What was changed, one sentence for each kind of change."""
        kinds = (
            (self.moved, "moved by more than a quarter of a slot"),
            (self.empty, "without length, read as one slot long"),
            (self.hanging, "never released, read as held to the end"),
            (self.doubled, "twice in the same place, read as one"),
            (self.past_end, "held past the last bar, cut there"),
        )
        remarks = [f"{_count(slots)} {what} ({places(self.plan, slots)})" for slots, what in kinds if slots]
        if self.outside:
            remarks.append(f"{_count(self.outside)} after bar {self.plan.bars}, left out")
        return remarks


def places(plan: Plan, slots: Iterable[int]) -> str:
    """The first few of some places, as a musician counts, and how many there are besides."""
    found = [plan.place(slot) for slot in sorted(set(slots))]
    more = f" and {len(found) - MOST_PLACES} more places" if len(found) > MOST_PLACES else ""
    return "; ".join(found[:MOST_PLACES]) + more


def nearest(slots: Fraction) -> int:
    """The nearest whole number; a half goes to the later one."""
    return int((slots + Fraction(1, 2)) // 1)


def _count(slots: list[int]) -> str:
    return "1 note" if len(slots) == 1 else f"{len(slots)} notes"
