"""Many rhythms compared: each is bounded from above before it is solved, and only those that may still win are solved.

Branch and bound over rhythms, in the order of their bounds. Each rhythm of a lead is wanted once: its most promising
rhythm of all parts is solved to its best, until there are enough. Any other is only asked for an arrangement above the
best in hand, which is sooner refused than its own best is found, and only where its bound is above that. At the end no
arrangement in any of the rhythms scores higher than ``ceiling``.
"""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass

from solver.search.solve import Solved

MILLION = 1_000_000  # from here on only the first digit is told
ABREAST = 4  # rhythms begun before the first of them is done: not the number of cores, which must change nothing
IN_VAIN = 36  # rhythms solved without success before the search gives up

# Solves the rhythm of a number (from 0); None is any total, else only higher ones count. Last comes whether it may be
# the best of all: the others are worth less time.
Solve = Callable[[int, int | None, bool], Solved]


@dataclass(frozen=True)
class Sweep:
    """What was found in the rhythms that were solved, best first; the most that any of all rhythms can reach; how many
    of those solved are undecided."""

    found: tuple[Solved, ...]
    ceiling: int
    undecided: int


def sweep(
    bounds: Sequence[int],
    tighter: Sequence[Callable[[int], int]],
    leads: Sequence[Hashable],
    solve: Solve,
    enough: Callable[[Sequence[Solved]], bool],
    pool: Executor,
    on_solved: Callable[[int, int], None] = lambda number, settled: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Sweep:
    """Compare rhythms. ``bounds`` are what each can reach at most, ``tighter`` better bounds that take longer, in
    order; ``leads`` tell the rhythms of their leads apart. ``enough`` is asked whether what is found, best first, is
    as much as is wanted. ``on_solved`` is told of each rhythm that was solved and how many are settled, ``stopped``
    ends the search. Where many rhythms have nothing, and no other has anything, it ends too.

    The outcome depends on the rhythms alone: results are taken in the order in which rhythms were begun.
    """
    heap = [(-bound, number, 0) for number, bound in enumerate(bounds)]
    heapq.heapify(heap)
    found: dict[int, Solved] = {}
    ceilings: dict[int, int] = {}  # of the rhythms that were begun
    running: deque[tuple[int, int | None, Future[Solved]]] = deque()
    taken: set[Hashable] = set()  # leads' rhythms that have an arrangement, or are being solved for one
    begun = undecided = 0
    while True:
        ranked = best_first(found)
        best, full = ranked[0].total if ranked else None, enough(ranked)
        while heap and len(running) < ABREAST and not stopped() and (found or begun < IN_VAIN):
            below, number, known = heapq.heappop(heap)
            if best is not None and -below <= best and (full or leads[number] in taken):
                continue
            if known < len(tighter):
                heapq.heappush(heap, (max(below, -tighter[known](number)), number, known + 1))
                continue
            above = best if full or leads[number] in taken else None
            begun, ceilings[number] = begun + 1, -below
            taken.add(leads[number])
            running.append((number, above, pool.submit(solve, number, above, best is None or -below > best)))
        if not running:
            break
        number, above, future = running.popleft()
        one = future.result()
        undecided += not one.decided
        if one.arrangement is not None:
            found[number] = one
            ceilings[number] = min(ceilings[number], one.bound)
        else:
            if one.decided:
                ceilings[number] = above or 0
            if not any(leads[other] == leads[number] for other in [*found, *(waiting for waiting, _, _ in running)]):
                taken.discard(leads[number])
        on_solved(number, len(bounds) - len(heap) - len(running))
    return Sweep(ranked, max([best or 0, *ceilings.values()]), undecided)


def best_first(found: dict[int, Solved]) -> tuple[Solved, ...]:
    """What is found, best first; of two equal ones the earlier."""
    return tuple(found[number] for number in sorted(found, key=lambda number: (-found[number].total, number)))


def compared_in_words(rhythms: int, of: int | None, more: float) -> str:
    """How good the first arrangement is among those of all rhythms compared: ``more`` points are left open.

    ``of`` is how many rhythms the brief allows at most, None where that is not known.
    """
    where = f"{rhythms:,} rhythm{'s' if rhythms > 1 else ''}"
    if of is not None and of > rhythms:
        digits, power = f"{of:.0e}".split("e+")
        where += f" of at most {f'{of:,}' if of < MILLION else f'{digits} x 10^{int(power)}'}"
    higher = "higher" if more <= 0 else f"more than {more:.1f} points higher"
    return f"no arrangement in {where} scores {higher} than the first"
