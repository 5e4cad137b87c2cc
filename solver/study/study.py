"""The study of a reference: everything that is concluded from it, in one place.

    study(Path("refs/harbour.mid"))     # -> Study

The order matters: chords are found from the notes, the key from notes and chords, roles from form and figures.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from solver.music.instruments import Instrument, load_instruments
from solver.music.scales import Key
from solver.study.bass import slash_basses
from solver.study.coverage import Coverage, coverage_of
from solver.study.errors import StudyError, Unreadable
from solver.study.figures import Moves, figure_of, motion_of, moves_of
from solver.study.form import Repeat, Section, repeat_of, sections_of, statements_of
from solver.study.grid import loop_of
from solver.study.harmony import Harmony, Sound, Span, harmony_of, with_thirds
from solver.study.key import KeyFinding, key_of
from solver.study.loop import Loop, LoopPart
from solver.study.names import distinct, plain_name
from solver.study.playing import instrument_of
from solver.study.reading import read_reference
from solver.study.rhythm_facts import RhythmFacts, density_of, rhythm_of
from solver.study.roles import Found, Sketch, roles_of
from solver.study.spelling import chord_of
from solver.study.texture import texture_of
from solver.study.voices import separated


@dataclass(frozen=True)
class PartStudy:
    """What was found of one part. ``low`` and ``high`` are MIDI numbers; ``instrument`` is None where none plays it."""

    part: LoopPart
    role: str
    reason: str
    low: int
    high: int
    instrument: Instrument | None
    texture: str
    figure: str
    motion: str
    moves: Moves
    repeat: Repeat | None
    sections: tuple[Section, ...]
    rhythm: RhythmFacts

    @property
    def name(self) -> str:
        """The part's name."""
        return self.part.name


@dataclass(frozen=True)
class Study:
    """A reference, taken apart. ``signature`` is what the file states as key; nothing was concluded from it."""

    path: Path
    loop: Loop
    harmony: Harmony
    keys: KeyFinding
    parts: tuple[PartStudy, ...]  # from high to low
    coverage: tuple[Coverage, ...]
    slashes: dict[int, int]  # start slot of a chord span in the first pass -> pitch class that a slash names
    signature: str | None
    tempo_given: bool
    sound: Sound | None = None

    @property
    def key(self) -> Key:
        """The key that fits best."""
        return self.keys.key

    @property
    def tempo(self) -> float:
        """Quarter notes a minute; what MIDI assumes where the file gives none."""
        return self.loop.tempo or 120.0

    @property
    def bars(self) -> int:
        """Bars of the reference."""
        return self.loop.bars

    def symbol(self, span: Span) -> str:
        """The chord of a span, spelled in the key, with the bass that a slash names."""
        home = span.start % (self.harmony.pass_bars * self.loop.metre.grid)
        return chord_of(span.chord, self.key, self.slashes.get(home)).symbol

    @cached_property
    def bar_spans(self) -> tuple[Span, ...]:
        """For each bar the chord span that fills most of it, of equal ones the first."""
        grid = self.loop.metre.grid
        found = []
        for start in range(0, self.loop.slots, grid):
            inside = [
                (min(span.end, start + grid) - max(span.start, start), -span.start, span)
                for span in self.harmony.spans
                if span.start < start + grid and span.end > start
            ]
            found.append(max(inside, key=lambda entry: entry[:2])[2])
        return tuple(found)

    @cached_property
    def chords(self) -> tuple[str, ...]:
        """One chord symbol for each bar."""
        return tuple(self.symbol(span) for span in self.bar_spans)

    def part(self, name: str) -> PartStudy:
        """The part of that name; KeyError where there is none."""
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)

    def with_role(self, role: str) -> tuple[PartStudy, ...]:
        """The parts with a role, from high to low."""
        return tuple(part for part in self.parts if part.role == role)


def study(path: Path | str) -> Study:
    """Study a MIDI or MusicXML file. Raises StudyError with one line that says what is wrong."""
    path = Path(path)
    reference = read_reference(path)
    try:
        loop = separated(loop_of(reference))
    except Unreadable as problem:
        raise StudyError(path, problem.wrong, problem.right) from problem
    return study_of(path, loop, reference.signature)


def study_of(path: Path, loop: Loop, signature: str | None = None, sound: Sound | None = None) -> Study:
    """The study of a loop that is on its grid already; ``sound`` is what was heard of it besides its notes."""
    harmony = harmony_of(loop, sound)
    keys = key_of(loop, harmony)
    harmony = with_thirds(harmony, loop, keys.key.pcs)
    sketches = tuple(
        Sketch(
            part,
            texture_of(part),
            figure_of(loop, harmony, keys.key, part),
            repeat_of(loop, part),
            density_of(loop, part),
        )
        for part in loop.parts
    )
    roles = roles_of(loop, harmony, sketches)
    sketches = tuple(sorted(sketches, key=lambda sketch: -sketch.part.middle))
    names = distinct([plain_name(sketch.part.given) or roles[sketch.part.name].role for sketch in sketches])
    found = [roles[sketch.part.name] for sketch in sketches]
    sketches = tuple(
        Sketch(sketch.part.renamed(name), sketch.texture, sketch.figure, sketch.repeat, sketch.density)
        for sketch, name in zip(sketches, names, strict=True)
    )
    loop = loop.with_parts(tuple(sketch.part for sketch in sketches))
    instruments = load_instruments()
    return Study(
        path=path,
        loop=loop,
        harmony=harmony,
        keys=keys,
        parts=tuple(
            _part_study(loop, harmony, keys.key, sketch, role, instruments)
            for sketch, role in zip(sketches, found, strict=True)
        ),
        coverage=coverage_of(loop, harmony, keys.key),
        slashes=slash_basses(loop, harmony),
        signature=signature,
        tempo_given=loop.tempo is not None,
        sound=sound,
    )


def _part_study(
    loop: Loop, harmony: Harmony, key: Key, sketch: Sketch, role: Found, instruments: dict[str, Instrument]
) -> PartStudy:
    part = sketch.part
    pitches = [note.pitch for note in part.notes]
    return PartStudy(
        part=part,
        role=role.role,
        reason=role.reason,
        low=min(pitches),
        high=max(pitches),
        instrument=instrument_of(part, instruments),
        texture=sketch.texture,
        figure=sketch.figure,
        motion=motion_of(loop, harmony, part, lowest=role.role == "low"),
        moves=moves_of(loop, harmony, key, part),
        repeat=sketch.repeat,
        sections=statements_of(loop, sketch.repeat) if sketch.repeat else sections_of(loop, part),
        rhythm=rhythm_of(loop, part),
    )
