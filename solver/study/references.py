"""Files and earlier takes as what arrangements keep clear of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
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


def avoided_takes(folders: Iterable[Path]) -> tuple[Avoided, ...]:
    """Earlier takes, by their folders. Raises TakeError where one cannot be read."""
    from solver.brief.errors import BriefErrors
    from solver.brief.planning import plan_from_text
    from solver.take import TakeError, read_take

    sources = []
    for folder in folders:
        take = read_take(folder)
        try:
            sources.append(avoided_take(take, plan_from_text(take.header.brief_text, take.header.brief_name)))
        except BriefErrors as errors:
            why = f"holds a brief that cannot be read any more ({errors.errors[0].wrong}); move the take away"
            raise TakeError(folder, why) from None
    return tuple(sources)


def takes_beside(folder: Path, names: Iterable[str]) -> tuple[tuple[Avoided, ...], tuple[str, ...]]:
    """The takes of these names in a folder of takes, and what to say of those that are not there any more.

    Raises TakeError where one cannot be read.
    """
    folders = [folder / name for name in names]
    gone = [path for path in folders if not path.is_dir()]
    words = (f"{path} is not there any more: its successor was kept clear of it, this take is not" for path in gone)
    return avoided_takes(path for path in folders if path.is_dir()), tuple(words)


def clear_of(plan: Plan, sources: Iterable[Avoided]) -> Plan:
    """The plan, kept clear of these sources too."""
    return replace(plan, avoid=replace(plan.avoid, sources=(*plan.avoid.sources, *sources)))


def avoided_take(take: Take, plan: Plan) -> Avoided:
    """All arrangements of an earlier take, whose plan is given too; a line that several of them have counts once."""
    lines: dict[tuple[object, ...], LoopLine] = {}
    for number, ranked in enumerate(take.arrangements, start=1):
        for part, notes in ranked.arrangement.by_part.items():
            line = loop_line(f"{part} of arrangement {number}", notes, plan.slots, plan.quarters_per_slot)
            if line is not None:
                lines.setdefault((line.first, line.moves), line)
    return Avoided(take.name, plan.metre.quarters_per_bar, tuple(lines.values()))
