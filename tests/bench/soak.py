"""Many valid briefs of every kind in one process: each gives arrangements that pass the check, or a verified conflict.

A brief has two rhythms' arrangements looked for under a small deterministic limit; one that is undecided under it is
asked again under the product's own. A search that is too long is stopped, as a person would stop it. What goes wrong is
printed at once with the whole brief, and counted in the table.

Memory is flat where it does not grow with the briefs before. It is looked at every few briefs, and what counts is the
slope over the second half, by when everything is loaded. Two things are judged, both with the caches emptied that have
a bound, for what those hold is the last few briefs' doing (that each has a bound is a test's to say, and one without
counts):

- What is in use. It is the same to a few kilobytes whenever the same has been done, so a small leak shows in it.
- What is resident, once the allocator has given back what it can. It moves by some megabytes with the order in which
  memory was cut up, so only a larger growth shows in it; but that is what the machine has to have.
"""

from __future__ import annotations

import resource
import sys
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from statistics import linear_regression, mean

from solver.check import breaches
from solver.page.freed_memory import give_back, use_one_arena
from solver.search.conflicts.explaining import explain
from solver.search.conflicts.reasons import Reasons
from solver.search.outcome import NoArrangement
from solver.search.pool import arrange
from solver.search.solve import LIMIT
from tests.bench.allocated import empty_caches, in_use
from tests.bench.command import MEGABYTE
from tests.bench.drawn import Drawn, drawn
from tests.bench.figure import Bench, Figure

BRIEFS = 300
OF_EACH = 2
QUICK = 0.1  # deterministic seconds a rhythm: most have an arrangement by then
PATIENCE = 120.0  # CPU seconds for a brief, by which every answer should have come; then its search is stopped
EVERY = 10  # briefs after which memory is looked at
MARKS = (50, 150, BRIEFS)  # briefs after which it is told
# Megabytes that a hundred briefs of the second half may add: to what is in use, and to what is resident.
LEAKING, STEEPEST = 1.0, 5.0
STOPPED = f"stopped after {PATIENCE:g} CPU seconds"
FOUND, CONFLICT, UNDECIDED, WRONG = "arrangements", "conflict", "undecided", "wrong"


@dataclass(frozen=True)
class Answer:
    """What came of a brief: one of the four words above, why, and the CPU seconds that it took."""

    kind: str
    words: str
    seconds: float


@dataclass(frozen=True)
class Memory:
    """Megabytes after some briefs: resident as it is, and once the allocator has given back what is free; with caches
    emptied besides, what is resident then, and what of it is in use."""

    briefs: int
    resident: float
    trimmed: float
    emptied: float
    used: float


def figures(bench: Bench) -> list[Figure]:
    """What came of the briefs, how long it took, and memory."""
    seconds: dict[str, list[float]] = {kind: [] for kind in (FOUND, CONFLICT, UNDECIDED, WRONG)}
    longest, thrown_away = (0.0, -1), 0
    memory: list[Memory] = []
    use_one_arena()
    for number in range(BRIEFS):
        one = drawn(bench.seed, number)
        answer = answer_of(one)
        seconds[answer.kind].append(answer.seconds)
        longest = max(longest, (answer.seconds, number))
        thrown_away += one.thrown_away
        if answer.kind in (UNDECIDED, WRONG) or answer.seconds > PATIENCE:
            bench.tell(_report(number, one, answer))
        kinds = {kind: len(each) for kind, each in seconds.items() if each}
        bench.tell(f"soak, {number + 1} of {BRIEFS}: {answer.kind} in {answer.seconds:.1f} CPU s; so far {kinds}")
        if (number + 1) % EVERY == 0:
            memory.append(_memory(number + 1))
            bench.tell(f"soak, memory: {memory[-1]}")
    drawing = f"seed {bench.seed}; {thrown_away} others drawn were not valid"
    return [
        Figure(f"of {BRIEFS} valid briefs, arrangements that pass the check", _number(seconds[FOUND]), "", drawing),
        Figure("a verified conflict instead", _number(seconds[CONFLICT])),
        Figure("undecided", str(len(seconds[UNDECIDED])), "0"),
        Figure("wrong: a breach, a crash, an unexplained refusal", str(len(seconds[WRONG])), "0"),
        Figure("the longest", f"{longest[0]:.1f} CPU s", f"{PATIENCE:.0f} s", f"brief {longest[1]}"),
        *(_told(each) for each in memory if each.briefs in MARKS),
        Figure("memory at its peak", f"{_peak():.0f} MB"),
        growth("in use", [(each.briefs, each.used) for each in memory], LEAKING),
        growth("resident", [(each.briefs, each.emptied) for each in memory], STEEPEST),
    ]


def growth(of: str, memory: Sequence[tuple[int, float]], most: float) -> Figure:
    """How many megabytes a hundred briefs add, over the second half of what was looked at: pairs of briefs and MB."""
    half = memory[len(memory) // 2 :]
    briefs, megabytes = zip(*half, strict=True)
    slope = 100 * linear_regression(briefs, megabytes).slope
    verdict = "flat" if slope <= most else "grows"
    between = f"{min(megabytes):.1f} to {max(megabytes):.1f} MB"
    return Figure(
        f"memory {of} that 100 briefs add, second half", f"{slope:+.2f} MB, {verdict}", f"{most:g} MB", between
    )


def _number(seconds: Sequence[float]) -> str:
    return f"{len(seconds)}, {mean(seconds):.1f} CPU s each" if seconds else "0"


def _told(memory: Memory) -> Figure:
    spread = f"{memory.resident:.0f} before free memory was given back"
    return Figure(f"memory after {memory.briefs} briefs", f"{memory.trimmed:.0f} MB", "", spread)


def answer_of(one: Drawn) -> Answer:
    """Search, then check or explain. Whatever is raised is an answer too: it is what the soak looks for."""
    began = time.process_time()
    try:
        kind, words = _searched(one, lambda: time.process_time() - began > PATIENCE)
    except Exception:
        kind, words = WRONG, traceback.format_exc()
    return Answer(kind, words, time.process_time() - began)


def _searched(one: Drawn, stop: Callable[[], bool]) -> tuple[str, str]:
    for limit in (QUICK, LIMIT):
        try:
            reasons = partial(Reasons, one.source)
            outcome = arrange(one.plan, count=OF_EACH, limit=limit, cores=1, reasons=reasons, stop=stop)
        except NoArrangement as none:
            if none.undecided:
                continue
            none.why = none.why or Reasons(one.source, stop)
            explanation = explain(one.source, one.plan, none)
            if explanation is None:
                return (UNDECIDED, STOPPED) if stop() else (WRONG, f"refused without a conflict: {none}")
            return CONFLICT, str(none)
        if not outcome.arrangements:
            return UNDECIDED, STOPPED
        broken = [breach for ranked in outcome.arrangements for breach in breaches(one.plan, ranked.arrangement)]
        return (WRONG, "; ".join(breach.line(one.plan) for breach in broken)) if broken else (FOUND, "")
    return UNDECIDED, f"under a limit of {LIMIT:g} deterministic seconds a rhythm"


def _report(number: int, one: Drawn, answer: Answer) -> str:
    head = f"soak, brief {number}: {answer.kind} after {answer.seconds:.1f} CPU s: {answer.words}"
    return f"{head}\n{one.source.text}"


def _memory(briefs: int) -> Memory:
    resident = _resident()
    give_back()
    trimmed = _resident()
    empty_caches()
    give_back()
    return Memory(briefs, resident, trimmed, _resident(), in_use())


def _resident() -> float:
    """Megabytes that are resident now; the peak where the system does not tell."""
    statm = Path("/proc/self/statm")
    return int(statm.read_text().split()[1]) * resource.getpagesize() / MEGABYTE if statm.is_file() else _peak()


def _peak() -> float:
    """The most megabytes that were resident at once."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak * (1 if sys.platform == "darwin" else 1024) / MEGABYTE
