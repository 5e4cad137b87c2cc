"""How long a producer waits for a rework of ferry-lights, and how that grows with the number of locks."""

from __future__ import annotations

import io
import tempfile
from contextlib import redirect_stdout
from pathlib import Path

from solver.cli import run
from tests.bench.command import FERRY_LIGHTS, timed
from tests.bench.figure import Bench, Figure, seconds

LOCKS = ((), ("lead",), ("lead", "low:1-4"), ("lead", "low:1-4", "middle:rhythm"), ("lead", "low:1-6", "middle"))
AIMED_AT = ("lead",)
AIMS = ("1 s", "8 s")


def figures(bench: Bench) -> list[Figure]:
    """The first arrangement and the last of six, for more and more locks."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        with redirect_stdout(io.StringIO()):
            code = run(["arrange", str(FERRY_LIGHTS), "--count", "1", "--out", folder, "--json"])
        if code:
            raise RuntimeError("ferry-lights has no arrangement to rework")
        take = Path(folder) / FERRY_LIGHTS.stem / "take-001"
        for locks in LOCKS:
            name = f"rework, locked: {', '.join(locks) or 'nothing'}"
            words = [word for lock in locks for word in ("--lock", lock)]
            command = ["rework", str(take), *words, "--out", str(Path(folder) / "more")]
            runs = bench.repeated(name, lambda command=command: timed(command))
            first_aim, all_aim = AIMS if locks == AIMED_AT else ("", "")
            found.append(seconds(f"{name}: first", [run.first for run in runs], first_aim))
            found.append(seconds(f"{name}: all {len(runs[0].gaps)}", [run.searched for run in runs], all_aim))
    return found
