"""Several lines in one track: told apart by register and voice leading.

Notes are given to lines in order of time. Notes that start together go to lines from high to low without crossing;
a note prefers the line whose last note and whose usual register are near, and avoids one that still sounds (after
Chew and Wu 2004, "Separating voices in polyphonic music: a contig mapping approach": proximity, no crossing). A track
is only taken apart where that leaves lines in registers of their own that hardly overlap themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise
from statistics import mean, quantiles

from solver.arrangement import Note
from solver.study.loop import Loop, LoopPart

MOST_LINES = 3
SOUNDS_ON = 30.0  # cost of a note in a line that still sounds, in semitones
REGISTER = 0.7  # weight of the distance to a line's usual register against that to its last note
PASSES = 3
OVERLAPS = 0.08  # share of a line's notes that may start while it still sounds
TOGETHER = 0.08  # share of strokes with notes in two lines that tells lines from a ringing chord
GAP = 5  # semitones without any note between two lines, which tells them apart as well
CHORDS = 0.5  # share of strokes with three notes of one length or more, from which a track is chords
APART = 7.0  # semitones between the mean pitches of neighbouring lines
LEAST_NOTES = 4


@dataclass
class _Line:
    usual: float
    last: Note | None = None

    def cost(self, note: Note) -> float:
        near = abs(note.pitch - self.last.pitch) if self.last else abs(note.pitch - self.usual)
        sounding = self.last is not None and self.last.end > note.onset + 1 and self.last.onset < note.onset
        return near + REGISTER * abs(note.pitch - self.usual) + (SOUNDS_ON if sounding else 0.0)


def separated(loop: Loop) -> Loop:
    """The loop with its only track taken apart into lines, where it holds several; else the loop as it is."""
    if len(loop.parts) != 1 or _is_chords(loop.parts[0]):
        return loop
    part = loop.parts[0]
    if overlaps(part.notes) <= OVERLAPS:
        return loop
    for number in range(2, min(MOST_LINES, len(part.notes) // LEAST_NOTES) + 1):
        lines = lines_of(part, number)
        if all(len(line) >= LEAST_NOTES and overlaps(line) <= OVERLAPS for line in lines) and _distinct(lines):
            parts = tuple(
                LoopPart(str(index), tuple(lines[index - 1]), part.program).renamed(str(index))
                for index in range(1, number + 1)
            )
            remark = f"The file has one track; {number} lines were told apart in it by register and voice leading."
            return Loop(loop.metre, loop.bars, loop.tempo, parts, (*loop.remarks, remark))
    return loop


def lines_of(part: LoopPart, number: int) -> list[list[Note]]:
    """The notes of a track as so many lines, from high to low."""
    pitches = sorted(note.pitch for note in part.notes)
    usual = [mean(pitches[i * len(pitches) // number : (i + 1) * len(pitches) // number]) for i in range(number)][::-1]
    lines: list[list[Note]] = []
    for _ in range(PASSES):
        lines = _assigned(part, usual)
        usual = [mean(note.pitch for note in line) if line else u for line, u in zip(lines, usual, strict=True)]
    return lines


def overlaps(notes: tuple[Note, ...] | list[Note]) -> float:
    """Share of notes that start while another one sounds, or together with it."""
    late = 0
    end = -1
    for note in sorted(notes, key=lambda n: (n.onset, n.pitch)):
        late += note.onset < end - 1
        end = max(end, note.end)
    return late / max(1, len(notes))


def _assigned(part: LoopPart, usual: list[float]) -> list[list[Note]]:
    state = [_Line(pitch) for pitch in usual]
    lines: list[list[Note]] = [[] for _ in usual]
    for stroke in part.strokes:
        falling = stroke[::-1]
        size = min(len(falling), len(state))
        chosen = min(
            combinations(range(len(state)), size),
            key=lambda places: sum(state[at].cost(note) for at, note in zip(places, falling, strict=False)),
        )
        for index, note in enumerate(falling):
            at = chosen[min(index, size - 1)]
            lines[at].append(note)
            state[at].last = note
    return [sorted(line, key=lambda n: (n.onset, n.pitch)) for line in lines]


def _distinct(lines: list[list[Note]]) -> bool:
    """Whether neighbouring lines lie apart and either start together at times or leave a gap between them."""
    for upper, lower in pairwise(lines):
        high, low = [note.pitch for note in upper], [note.pitch for note in lower]
        if mean(high) - mean(low) < APART:
            return False
        if quantiles(high, n=10)[0] < quantiles(low, n=10)[8] - 2:
            return False
        onsets = {note.onset for note in upper}
        shared = sum(note.onset in onsets for note in lower) / len(lower)
        if shared < TOGETHER and min(high) - max(low) < GAP:
            return False
    return True


def _is_chords(part: LoopPart) -> bool:
    blocks = [stroke for stroke in part.strokes if len(stroke) >= 3 and len({note.length for note in stroke}) == 1]
    return len(blocks) >= CHORDS * len(part.strokes)
