"""Weights fitted on pairs: logistic regression of the real version against the broken one, without a weight below 0.

Each kind of breaking counts the same, however many pairs it has.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tests.outside.ranking.telling import Pair

RIDGE = 1e-3


def fitted(pairs: Sequence[Pair]) -> dict[str, float]:
    """The weight of each merit, the largest being 10."""
    import numpy
    from scipy.optimize import minimize

    names = list(pairs[0].real.worths)
    ahead = numpy.array([[pair.real.worths[n] - pair.broken.worths[n] for n in names] for pair in pairs])
    kinds = Counter(pair.breaking for pair in pairs)
    counts = numpy.array([1 / kinds[pair.breaking] for pair in pairs])

    def loss(weights: numpy.ndarray) -> float:
        return float((counts * numpy.logaddexp(0, -(ahead @ weights))).sum() + RIDGE * (weights**2).sum())

    found = minimize(loss, numpy.ones(len(names)), bounds=[(0, None)] * len(names)).x
    return {name: round(10 * float(weight) / max(found), 1) for name, weight in zip(names, found, strict=True)}
