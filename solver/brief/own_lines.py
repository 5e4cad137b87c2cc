"""Parts that a brief takes from MIDI files: held from the loop's start on, and what was noticed about them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from solver.brief.findings import Findings
from solver.brief.plan import Plan
from solver.held import Held

if TYPE_CHECKING:
    from solver.brief.part_table import Part
    from solver.brief.source import Source
    from solver.export.midi_reading import MidiError

NEEDS_FROM = ("track", "bars", "transpose")


def check_keys(source: Source, findings: Findings) -> None:
    """Report keys that say how to read a file where none is named, and more bars than the loop has."""
    for name, part in source.brief.parts.items():
        if part.from_ is None:
            for key in NEEDS_FROM:
                if key in part.model_fields_set:
                    right = 'add from with a MIDI file, such as from = "my-lead.mid", or leave it out'
                    findings.report(("parts", name, key), f"{key} says how to read a file, and none is named", right)
        elif part.bars is not None and part.bars[1] - part.bars[0] >= source.brief.bars:
            count = part.bars[1] - part.bars[0] + 1
            wrong = f"{count} bars of the file do not fit the loop of {source.brief.bars}"
            right = f"take {source.brief.bars} at most"
            findings.report(("parts", name, "bars"), wrong, right, reads=[("bars",)])


def check_files(source: Source, findings: Findings) -> None:
    """Report files that cannot be opened; for a brief in which so much else is wrong that they are not read."""
    from solver.export.midi_reading import MidiError, bytes_of

    for name, part in source.brief.parts.items():
        if part.from_ is not None:
            try:
                bytes_of(source.path.parent / part.from_)
            except MidiError as error:
                _report(name, part.from_, error, findings)


def with_own_lines(plan: Plan, source: Source, findings: Findings, taken: Sequence[Held] | None) -> Plan:
    """The plan with what its brief takes from files: as read from the brief's folder, or as ``taken`` earlier.

    A file that cannot be read is reported.
    """
    held: list[Held] = []
    notices: list[str] = []
    for name, part in source.brief.parts.items():
        if part.from_ is None:
            continue
        if taken is not None:
            held += [_within(line, plan.slots) for line in taken if line.part == name]
        else:
            _read(plan, source, name, part, findings, held, notices)
    return replace(plan, held=tuple(held), notices=(*plan.notices, *notices))


def _within(line: Held, slots: int) -> Held:
    """A line without what lies behind a loop's end."""
    return replace(line, end=min(line.end, slots), notes=tuple(note for note in line.notes if note.end <= slots))


def _read(
    plan: Plan, source: Source, name: str, part: Part, findings: Findings, held: list[Held], notices: list[str]
) -> None:
    from solver.export.midi_line import Wanted, read_line
    from solver.export.midi_reading import MidiError

    assert part.from_ is not None
    try:
        wanted = Wanted(part.track, part.bars, part.transpose)
        read = read_line(source.path.parent / part.from_, plan, plan.part(name), wanted)
    except MidiError as error:
        _report(name, part.from_, error, findings)
        return
    line, _ = source.place(("parts", name, "from"))
    words = f"{source.path.name}:{line}: from = {json.dumps(part.from_, ensure_ascii=False)}"
    held.append(Held(name, 0, read.bars * plan.metre.grid, "notes", read.notes, words))
    notices += [f"{part.from_}: {remark}" for remark in read.remarks]


def _report(name: str, file: str, error: MidiError, findings: Findings) -> None:
    wrong, _, right = error.message.partition("; ")
    findings.report(("parts", name, "from"), f"{file}: {wrong}", right or "name a MIDI file that can be read")
