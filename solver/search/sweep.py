"""Many rhythms compared: a first look at each bounds it from above, and only those that may still win are solved.

Branch and bound over skeletons. A skeleton whose bound does not exceed the least total in hand needs no second look;
another is asked for an arrangement above that total alone, which is sooner refused than its best is found. At the end
no arrangement in any of the rhythms scores higher than ``ceiling``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from solver.rhythm.skeleton import Skeleton
from solver.search.solve import Solved

GLANCE = 0.5  # deterministic seconds of the first look: enough to prove about a third of the rhythms at once
MILLION = 1_000_000  # from here on only the first digit is told
ABREAST = 6  # skeletons that are held against the same total: not the number of cores, which must change nothing

# Solves the skeleton of a number (from 0) to a deterministic limit; None is any total, else only higher ones count.
Solve = Callable[[int, Skeleton, float, int | None], Solved]


@dataclass(frozen=True)
class Sweep:
    """What was found in each rhythm that has anything, best first, and the most that any of the rhythms can reach."""

    found: tuple[Solved, ...]
    ceiling: int
    undecided: int


def sweep(
    skeletons: Sequence[Skeleton],
    solve: Solve,
    least: Callable[[Sequence[Solved]], int | None],
    limit: float,
    pool: Executor,
) -> Sweep:
    """Compare skeletons. ``least`` is the total to beat, given what is found, best first; None where anything will do.

    The order of results, and so the outcome, depends on the skeletons alone.
    """
    glances = list(pool.map(lambda item: solve(item[0], item[1], min(GLANCE, limit), None), enumerate(skeletons)))
    found = {number: one for number, one in enumerate(glances) if one.arrangement is not None}
    bounds = {number: one.bound for number, one in found.items()}
    unknown = [number for number, one in enumerate(glances) if not one.decided]
    still = sorted(
        (number for number in [*found, *unknown] if number in unknown or not found[number].proved),
        key=lambda number: (number in bounds, -bounds.get(number, 0), number),
    )
    while still:
        beat = least(best_first(found))
        still = [number for number in still if number not in bounds or beat is None or bounds[number] > beat]
        batch, still = still[:ABREAST], still[ABREAST:]
        for number, one in zip(
            batch, pool.map(lambda number, beat=beat: solve(number, skeletons[number], limit, beat), batch), strict=True
        ):
            if one.arrangement is not None:
                if number not in found or one.total > found[number].total:
                    found[number] = one
                bounds[number] = one.bound
            elif one.decided and beat is not None:
                bounds[number] = beat
                if number in found:  # its own best may be above what is to be beaten, where others are too near to it
                    bounds[number] = max(beat, found[number].total)
                    closed = bounds[number] == found[number].total
                    found[number] = replace(found[number], bound=bounds[number], proved=closed)
            elif one.decided:
                bounds.pop(number, None)
    undecided = sum(number not in bounds for number in unknown)
    return Sweep(best_first(found), max(bounds.values(), default=0), undecided)


def best_first(found: dict[int, Solved]) -> tuple[Solved, ...]:
    """What is found, best first; of two equal ones the earlier."""
    return tuple(found[number] for number in sorted(found, key=lambda number: (-found[number].total, number)))


def compared_in_words(rhythms: int, of: int | None, more: float) -> str:
    """How good the first arrangement is among those of all rhythms compared: ``more`` points are left open.

    ``of`` is how many rhythms the brief allows at most, None where that is not known.
    """
    where = f"{rhythms} rhythm{'s' if rhythms > 1 else ''}"
    if of is not None and of > rhythms:
        digits, power = f"{of:.0e}".split("e+")
        where += f" of at most {f'{of:,}' if of < MILLION else f'{digits} x 10^{int(power)}'}"
    higher = "higher" if more <= 0 else f"more than {more:.1f} points higher"
    return f"no arrangement in {where} scores {higher} than the first"
