"""One run of ``sennit arrange`` or ``sennit rework`` in a process of its own, timed from before that process begins."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
FERRY_LIGHTS = ROOT / "briefs" / "ferry-lights.toml"
MEGABYTE = 1024 * 1024


@dataclass(frozen=True)
class Run:
    """Seconds from the command's start, and what the command then had.

    ``first``: the first arrangement, checked and on disk; ``searched``: the last one; ``done``: the take is written and
    the process gone. ``gaps``: how far each arrangement may be from the best of its rhythm, as a share, 0 where proved.
    ``peak`` is the most memory that was resident, in megabytes. ``begun``: the first solver runs; ``solving``: for how
    many seconds at least one did.
    """

    first: float
    searched: float
    done: float
    gaps: tuple[float, ...]
    asked: int
    peak: float
    begun: float
    solving: float

    @property
    def proved(self) -> int:
        """How many arrangements are proved to be the best possible for their rhythm."""
        return sum(gap == 0 for gap in self.gaps)


def run_arrange(brief: str) -> Run:
    """Run ``arrange`` on a brief's text. Raises CalledProcessError where it fails."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.toml"
        path.write_text(brief, encoding="utf-8")
        return timed(["arrange", str(path), "--out", folder])


def timed(arguments: Sequence[str]) -> Run:
    """Run a command that searches. Raises CalledProcessError where it fails."""
    # The clock is the system's, so that both processes read the same one.
    began = time.clock_gettime(time.CLOCK_MONOTONIC)
    child = subprocess.run(
        [sys.executable, "-m", "tests.bench.command", *arguments], cwd=ROOT, capture_output=True, text=True, check=True
    )
    done = time.clock_gettime(time.CLOCK_MONOTONIC)
    facts = json.loads(child.stdout.splitlines()[-1])
    gaps = tuple(0.0 if proved else (bound - total) / bound for total, bound, proved in facts["found"])
    return Run(
        facts["first"] - began,
        facts["searched"] - began,
        done - began,
        gaps,
        facts["asked"],
        facts["peak"] / MEGABYTE,
        facts["spans"][0][0] - began,
        covered(facts["spans"]),
    )


def covered(spans: Sequence[tuple[float, float]]) -> float:
    """How long at least one of some spans of time lasts; in the order in which they begin."""
    length, until = 0.0, -math.inf
    for start, end in spans:
        length += max(0.0, end - max(start, until))
        until = max(until, end)
    return length


def _timed(*command: str) -> None:
    """The child: the command as it is, with a clock around its search; prints its facts as the last line."""
    import resource

    import solver.search.pool
    from solver.cli import run
    from solver.search.solve import Watch

    search, solve, facts, spans = solver.search.pool.arrange, Watch.solve, {}, []

    def watched(*arguments: Any, on_sketch: Any, **options: Any) -> Any:
        def keep(number: int, ranked: Any) -> None:
            on_sketch(number, ranked)
            facts.setdefault("first", time.clock_gettime(time.CLOCK_MONOTONIC))

        outcome = search(*arguments, on_sketch=keep, **options)
        facts["searched"] = time.clock_gettime(time.CLOCK_MONOTONIC)
        facts["found"] = [(ranked.total, ranked.bound, ranked.proved) for ranked in outcome.arrangements]
        facts["asked"] = options["count"]
        return outcome

    def clocked(*arguments: Any) -> Any:
        begun = time.clock_gettime(time.CLOCK_MONOTONIC)
        status = solve(*arguments)
        spans.append((begun, time.clock_gettime(time.CLOCK_MONOTONIC)))
        return status

    solver.search.pool.arrange = watched
    setattr(Watch, "solve", clocked)  # noqa: B010 - a method of a class, for this process alone
    code = run(command)
    kilobytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    facts["peak"] = kilobytes * (1 if sys.platform == "darwin" else 1024)
    facts["spans"] = sorted(spans)
    print()
    print(json.dumps(facts))
    sys.exit(code)


if __name__ == "__main__":
    _timed(*sys.argv[1:])
