"""The reduced problem as MiniZinc text, solved by Gecode: Debian's package minizinc brings both."""

from __future__ import annotations

import json
import resource
import shutil
import subprocess
import tempfile
from collections.abc import Iterable
from pathlib import Path

from tests.bench.side_by_side.problem import Reduced, Variable
from tests.bench.side_by_side.runs import Run

PROGRAM = "minizinc"
NEEDED = "MiniZinc is not on this machine; on Debian: apt-get install minizinc"
OR = " \\/ "
FOUND, COMPLETE = "----------", "=========="


def missing() -> str:
    """What is missing; "" where nothing is."""
    return "" if shutil.which(PROGRAM) else NEEDED


def solve(reduced: Reduced, limit: float, *, first: bool) -> Run:
    """The first solution without an objective, or the best within ``limit`` CPU seconds, by one thread."""
    seconds = round(limit)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "reduced.mzn"
        path.write_text(model_text(reduced, first=first), encoding="utf-8")
        before = _spent()
        child = subprocess.run(
            [PROGRAM, "--solver", "gecode", "--output-mode", "json", *([] if first else ["-a"]), str(path)],
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds)),
            capture_output=True,
            text=True,
        )
        spent = _spent() - before
    solutions = child.stdout.split(FOUND)[:-1]
    if not solutions and spent < limit / 2:
        raise RuntimeError(f"MiniZinc failed: {child.stdout}{child.stderr}")
    choice = {name: json.loads(solutions[-1])[name] for name in reduced.domains} if solutions else None
    return Run.of(reduced, choice, spent, proved=not first and COMPLETE in child.stdout)


def model_text(reduced: Reduced, *, first: bool) -> str:
    """The problem in MiniZinc's language."""
    lines = ['include "table.mzn";', 'include "nvalue.mzn";']  # Debian's globals.mzn does not go with its Gecode
    lines += [f"var {{{_listed(values)}}}: {name};" for name, values in reduced.domains.items()]
    rewards: list[str] = []
    for number, (names, rows) in enumerate(reduced.tables):
        names, width = (names, len(names)) if first else ((*names, f"reward_{number}"), len(names) + 1)
        if not first:
            lines.append(f"var {{{_listed(sorted({row[-1] for row in rows}))}}}: reward_{number};")
            rewards.append(f"reward_{number}")
        lines.append(f"constraint table([{', '.join(names)}], [|{'|'.join(_listed(row[:width]) for row in rows)}|]);")
    rewards += [f"{loss} * bool2int({a} = {b})" for (a, b), loss in reduced.same.items()]
    lines += [f"constraint {high} > {low};" for high, low in reduced.above]
    lines += [f"constraint {_any(names, pc)};" for pc, names in reduced.sounding]
    for group in reduced.own:
        ways = (f"({_any(group.own, pc)} /\\ not ({_any(group.others, pc)}))" for pc in range(12))
        lines.append(f"constraint {OR.join(ways)};")
    for number, (least, most, names) in enumerate(reduced.few):
        lines.append(f"var {least}..{most}: few_{number};")
        lines.append(f"constraint nvalue(few_{number}, [{', '.join(names)}]);")
    search = f":: int_search([{', '.join(reduced.domains)}], dom_w_deg, indomain_median)"
    goal = "satisfy" if first else f"maximize {' + '.join(rewards)}"
    return "\n".join((*lines, f"solve {search} {goal};", ""))


def _any(names: Iterable[Variable], pc: int) -> str:
    return "(" + OR.join(f"{name} mod 12 = {pc}" for name in names) + ")"


def _listed(numbers: Iterable[int]) -> str:
    return ", ".join(map(str, numbers))


def _spent() -> float:
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime
