"""``python -m tests.bench.round_trip [NAME …]``: every example brief arranged, the result studied, the briefs compared.

Each line of the brief that study writes is held against the original's plan, defaults filled in: key, tempo, meter,
bars, chords, and of each part its role, instrument, repeat, figure, motion and texture. A range or a density agrees
where it lies within the original's or holds it.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from solver.brief.plan import PartPlan, Plan
from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.commands.printing import Column, print_line, print_table
from solver.export.midi import midi_bytes
from solver.search.pool import arrange
from solver.study.brief_text import brief_text
from solver.study.study import study
from tests.bench.command import ROOT

COLUMNS = (Column("brief"), Column("lines", right=True), Column("what differs", wraps=True))


@dataclass(frozen=True)
class Line:
    """One line of a brief: what was asked for, and what study wrote."""

    key: str
    asked: str
    written: str
    agrees: bool


def main() -> None:
    """Go round with the briefs that are named, or with all, and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.round_trip", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help="briefs by their files' names: all")
    asked = parser.parse_args()
    paths = sorted((ROOT / "briefs").glob("*.toml"))
    rows, agreed, total = [], 0, 0
    for path in paths:
        if asked.names and path.stem not in asked.names:
            continue
        lines = round_trip(path)
        good = sum(line.agrees for line in lines)
        agreed, total = agreed + good, total + len(lines)
        differs = "; ".join(f"{line.key}: {line.asked} became {line.written}" for line in lines if not line.agrees)
        rows.append((path.stem, f"{good} of {len(lines)}", differs))
    print_table(COLUMNS, rows)
    print_line()
    print_line(f"{agreed} of {total} lines agree")


def round_trip(path: Path) -> list[Line]:
    """Arrange a brief, study its best arrangement, and compare the brief that study writes."""
    plan = plan_from(read_brief(path))
    best = arrange(plan, count=1).arrangements[0]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / f"{plan.name}.mid"
        file.write_bytes(midi_bytes(plan, best.arrangement))
        written = plan_from_text(brief_text(study(file)), plan.name)
    return list(compared(plan, written))


def compared(asked: Plan, written: Plan) -> Iterator[Line]:
    """The lines of two plans; parts are known by their names."""
    yield _line("key", asked.key.name, written.key.name)
    yield _line("tempo", f"{asked.tempo:g}", f"{written.tempo:g}")
    yield _line("meter", asked.metre.name, written.metre.name)
    yield _line("bars", str(asked.bars), str(written.bars))
    yield _line("chords", _chords(asked), _chords(written))
    for part in asked.parts:
        found = next((other for other in written.parts if other.name == part.name), None)
        if found is None:
            yield Line(part.name, "there", "missing", False)
            continue
        yield from _part_lines(part, found)


def _part_lines(asked: PartPlan, written: PartPlan) -> Iterator[Line]:
    for key, one, other in (
        ("role", asked.role, written.role),
        ("instrument", asked.instrument.name, written.instrument.name),
        ("repeat_every", asked.repeat_every, written.repeat_every),
        ("figure", asked.figure, written.figure),
        ("motion", asked.motion, written.motion),
        ("texture", asked.texture, written.texture),
    ):
        yield _line(f"{asked.name} {key}", str(one), str(other))
    for key, one, other in (
        ("range", (asked.low, asked.high), (written.low, written.high)),
        ("notes_per_bar", asked.notes_per_bar, written.notes_per_bar),
    ):
        within = one[0] <= other[0] and other[1] <= one[1]
        holds = other[0] <= one[0] and one[1] <= other[1]
        yield Line(f"{asked.name} {key}", str(one), str(other), within or holds)


def _line(key: str, asked: str, written: str) -> Line:
    return Line(key, asked, written, asked == written)


def _chords(plan: Plan) -> str:
    """The chords of one pass with their lengths in bars; one chord alone has none that one could hear."""
    spans = [span for span in plan.spans if span.pass_index == 0]
    if len(spans) == 1:
        return spans[0].chord.symbol
    return " ".join(f"{span.chord.symbol}:{(span.end - span.start) / plan.metre.grid:g}" for span in spans)


if __name__ == "__main__":
    main()
