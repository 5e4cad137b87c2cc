"""How much longer ferry-lights takes when it keeps clear of references.

The references are a 64-bar file of four tracks, and the best arrangement that the brief gives without any, which has
the very rhythms that the search tries first. Those are put off, so the six that are found have other rhythms than
without references, which may be harder or easier: what the rule itself costs is told by the same rhythms without it.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Sequence
from itertools import islice
from pathlib import Path

from solver.brief.plan import Plan
from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.export.midi import midi_bytes
from solver.rhythm.skeleton import Skeleton
from solver.rhythm.skeletons import skeletons
from solver.search.clearest import clearest_first
from solver.search.pool import arrange
from solver.study.references import avoided_file
from tests.bench.command import FERRY_LIGHTS, run_arrange
from tests.bench.figure import Bench, Figure, seconds
from tests.bench.study_time import long_loop
from tests.study.writing import midi_of

RHYTHMS = 24  # more than are needed for six arrangements


def figures(bench: Bench) -> list[Figure]:
    """The time until six are found with references, by how much it is longer than without, and the rule's share."""
    text = FERRY_LIGHTS.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        long, own = Path(folder) / "long.mid", Path(folder) / "own.mid"
        midi_of(long_loop()).save(str(long))
        plan = plan_from(read_brief(FERRY_LIGHTS))
        own.write_bytes(midi_bytes(plan, arrange(plan, count=1).arrangements[0].arrangement))
        brief = f'avoid = ["{long.as_posix()}", "{own.as_posix()}"]\n{text}'
        runs = bench.repeated("avoid", lambda: run_arrange(brief))
        kept = plan_from_text(text, plan.name, [avoided_file(path, path.name) for path in (long, own)])
    rhythms = list(islice(clearest_first(kept, iter(skeletons(kept, kept.seed))), RHYTHMS))
    both = bench.repeated("avoid, one core", lambda: (_computing(plan, rhythms), _computing(kept, rhythms)))
    clear, free = [run.searched for run in runs], [run.searched for run in bench.runs]
    return [
        seconds("six arrangements, kept clear of two references", clear, ""),
        Figure("more than six without references, of other rhythms", _more(free, clear)),
        Figure("computing that keeping clear costs, rhythm by rhythm", _more(*zip(*both, strict=True)), "33 %"),
    ]


def _computing(plan: Plan, rhythms: list[Skeleton]) -> float:
    """Seconds of computing until six arrangements of these rhythms are found."""
    began = time.process_time()
    arrange(plan, rhythms=rhythms, cores=1)
    return time.process_time() - began


def _more(before: Sequence[float], after: Sequence[float]) -> str:
    return f"{100 * (sum(after) / len(after) / (sum(before) / len(before)) - 1):.0f} %"
