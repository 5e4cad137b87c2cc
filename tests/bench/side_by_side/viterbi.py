"""One Viterbi pass per part: the best way through its notes alone, around the loop (Viterbi 1967).

What ties parts or distant notes together is ignored, repeats may differ from their first statement, and no loss for
equal notes is counted. So the sum over the parts bounds the reduced problem's best total from above.
"""

from __future__ import annotations

from collections import Counter
from math import floor
from typing import TYPE_CHECKING

from solver.rhythm.skeleton import Skeleton
from tests.bench.side_by_side.problem import Reduced, Variable, name_of

if TYPE_CHECKING:
    from numpy.typing import NDArray


def bound(reduced: Reduced, skeleton: Skeleton) -> int:
    """At least the best total, in thousandths of a point."""
    parts = ([name_of(part, slot.home) for slot in slots] for part, slots in skeleton.slots.items())
    gains = sum(max(0, gain) for gain in reduced.same.values())
    return floor(sum(_best_way(reduced, names) for names in parts) + gains + reduced.constant + 1e-6)


def _best_way(reduced: Reduced, names: list[Variable]) -> float:
    """The most that single notes and moves of a part are worth; what is shared by repeats is shared out to them."""
    import numpy as np

    times = Counter(names)
    pairs = list(zip(names, [*names[1:], *names[:1]], strict=True))
    moved = Counter(pairs)
    best: NDArray | None = None
    for pair in pairs if len(names) > 1 else []:
        a, b = (reduced.domains[name] for name in pair)
        step = np.array([[reduced.moves[pair].get((one, other), -np.inf) for other in b] for one in a]) / moved[pair]
        step += np.array([reduced.worth[pair[0]][one] for one in a])[:, None] / times[pair[0]]
        best = step if best is None else (best[:, :, None] + step[None, :, :]).max(axis=1)
    if best is None:
        return max(reduced.worth[names[0]].values())
    return float(np.diag(best).max())
