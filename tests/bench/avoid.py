"""How much longer ferry-lights takes when it keeps clear of references.

The references are a 64-bar file of four tracks, and the best arrangement that the brief gives without any, which has
the very rhythms that the search tries first.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.export.midi import midi_bytes
from solver.search.pool import arrange
from tests.bench.command import FERRY_LIGHTS, run_arrange
from tests.bench.figure import Bench, Figure, seconds
from tests.bench.study_time import long_loop
from tests.study.writing import midi_of


def figures(bench: Bench) -> list[Figure]:
    """The time until six are found with references, and by how much it is longer than without."""
    text = FERRY_LIGHTS.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        long, own = Path(folder) / "long.mid", Path(folder) / "own.mid"
        midi_of(long_loop()).save(str(long))
        plan = plan_from(read_brief(FERRY_LIGHTS))
        own.write_bytes(midi_bytes(plan, arrange(plan, count=1).arrangements[0].arrangement))
        brief = f'avoid = ["{long.as_posix()}", "{own.as_posix()}"]\n{text}'
        runs = bench.repeated("avoid", lambda: run_arrange(brief))
    clear, free = [run.searched for run in runs], [run.searched for run in bench.runs]
    more = sum(clear) / len(clear) / (sum(free) / len(free)) - 1
    return [
        seconds("six arrangements, kept clear of two references", clear, ""),
        Figure("time that keeping clear costs", f"{100 * more:.0f} %", "33 %"),
    ]
