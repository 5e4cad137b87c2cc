"""Files and earlier takes as what arrangements keep clear of."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from solver.avoided import Avoided, LoopLine, loop_line
from solver.study.errors import StudyError, Unreadable
from solver.study.grid import loop_of
from solver.study.names import distinct, plain_name
from solver.study.reading import read_reference
from solver.study.voices import separated

if TYPE_CHECKING:
    from solver.brief.plan import Plan
    from solver.take import Take


def avoided_file(path: Path, name: str) -> Avoided:
    """The parts of a MIDI or MusicXML file; ``name`` is the path as it was given. Raises StudyError."""
    try:
        loop = separated(loop_of(read_reference(path)))
    except Unreadable as problem:
        raise StudyError(path, problem.wrong, problem.right) from problem
    names = distinct([plain_name(part.given) or f"part {index}" for index, part in enumerate(loop.parts, start=1)])
    lines = (
        loop_line(name, part.notes, loop.slots, loop.quarters_per_slot)
        for name, part in zip(names, loop.parts, strict=True)
    )
    return Avoided(name, loop.metre.quarters_per_bar, tuple(line for line in lines if line is not None))


def avoided_take(take: Take, plan: Plan) -> Avoided:
    """All arrangements of an earlier take, whose plan is given too; a line that several of them have counts once."""
    lines: dict[tuple[object, ...], LoopLine] = {}
    for number, ranked in enumerate(take.arrangements, start=1):
        for part, notes in ranked.arrangement.by_part.items():
            line = loop_line(f"{part} of arrangement {number}", notes, plan.slots, plan.quarters_per_slot)
            if line is not None:
                lines.setdefault((line.first, line.moves), line)
    return Avoided(take.name, plan.metre.quarters_per_bar, tuple(lines.values()))
