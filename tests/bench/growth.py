"""How time, proof and gaps grow with the loop's length: ferry-lights with 4, 8, 16 and 32 bars."""

from __future__ import annotations

import re

from tests.bench.command import FERRY_LIGHTS, run_arrange
from tests.bench.figure import Bench, Figure, seconds

BARS = (4, 8, 16, 32)
AIMS = {8: ("20 s", ""), 32: ("60 s", "2 %")}


def figures(bench: Bench) -> list[Figure]:
    """Three figures for each length."""
    found = []
    for bars in BARS:
        brief = with_bars(FERRY_LIGHTS.read_text(encoding="utf-8"), bars)
        runs = bench.repeated(f"{bars} bars", lambda brief=brief: run_arrange(brief))
        time_aim, gap_aim = AIMS.get(bars, ("", ""))
        found.append(seconds(f"{bars} bars: six arrangements found", [run.searched for run in runs], time_aim))
        fewest, widest = min(run.proved for run in runs), max(gap for run in runs for gap in run.gaps)
        found.append(Figure(f"{bars} bars: proved best for their rhythm", f"{fewest} of {len(runs[0].gaps)}"))
        found.append(Figure(f"{bars} bars: widest gap", f"{100 * widest:.1f} %", gap_aim))
    return found


def with_bars(brief: str, bars: int) -> str:
    """The brief with another number of bars. Raises ValueError where it does not give any."""
    changed, count = re.subn(r"(?m)^bars\s*=\s*\d+", f"bars = {bars}", brief)
    if count != 1:
        raise ValueError("the brief has no line that gives its bars")
    return changed
