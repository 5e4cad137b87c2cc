"""Does the ranking know music? Real tunes and chorales against broken versions; pairs ranked right, by kind and merit.

Free weights are fitted on Aird's Airs and on the first chorales drawn. What counts is the rest: 150 loops of each other
collection (tests/outside/ranking/tunes.py says which) and chorales that no earlier sample held. Nothing is chosen by
what is reported of them.
"""

from __future__ import annotations

from collections.abc import Sequence

from solver.search.weights import load_weights
from tests.bench.figure import Bench, Figure
from tests.outside.ranking.broken_tunes import BREAKINGS
from tests.outside.ranking.chorales import TEXTURE_BREAKINGS, chorale_loops
from tests.outside.ranking.fitting import fitted
from tests.outside.ranking.telling import AIMS, Pair, by_merit, share_right, texture_pairs, tune_pairs
from tests.outside.ranking.tunes import COLLECTIONS, FITTED_ON, REPORTED, drawn_loops

TUNES = 150
CHORALES = 60
SEEN = 100  # chorales that were looked at before
EXAMPLES = 3


def figures(bench: Bench) -> list[Figure]:
    """All tables as rows; no repetition, for nothing here depends on time."""
    weights = load_weights()
    pairs: dict[str, list[Pair]] = {}
    for folder in COLLECTIONS:
        bench.tell(f"tunes of {folder}")
        pairs[folder] = tune_pairs(drawn_loops(folder, TUNES))
    reported = [pair for folder in REPORTED for pair in pairs[folder]]
    fit = fitted(pairs[FITTED_ON])
    rows = []
    for breaking in BREAKINGS:
        for folder, title in COLLECTIONS.items():
            note = " (weights chosen here)" if folder == FITTED_ON else ""
            rows.append(_row(f"{breaking}, {title}{note}", pairs[folder], breaking, weights, fit))
        rows.append(_row(f"{breaking}, the collections not fitted on", reported, breaking, weights, fit))
        rows += _details(reported, breaking, weights)
    rows.append(Figure("fitted weights, largest 10", ", ".join(f"{name} {weight}" for name, weight in fit.items())))
    bench.tell("chorales")
    loops = list(chorale_loops(SEEN + CHORALES))
    fit = fitted(texture_pairs(loops[:CHORALES]))
    texture = texture_pairs(loops[SEEN:])
    for breaking in TEXTURE_BREAKINGS:
        rows.append(_row(f"{breaking}, chorales", texture, breaking, weights, fit))
        rows += _details(texture, breaking, weights)
    rows.append(Figure("fitted weights of texture", ", ".join(f"{name} {weight}" for name, weight in fit.items())))
    return rows


def _row(name: str, pairs: Sequence[Pair], breaking: str, weights: dict[str, int], fit: dict[str, float]) -> Figure:
    share, number = share_right(pairs, breaking, weights)
    other = f"fitted weights {share_right(pairs, breaking, fit)[0]:.3f}"
    return Figure(name, f"{share:.3f} of {number}", f"{AIMS[breaking]:.2f}", other)


def _details(pairs: Sequence[Pair], breaking: str, weights: dict[str, int]) -> list[Figure]:
    """What each merit alone says, and of the pairs ranked wrong those that are furthest from right."""
    rows = [
        Figure(f"  {merit}", f"{right:.2f}", "", f"wrong {wrong:.2f}, else no difference")
        for merit, (right, wrong) in by_merit(pairs, breaking).items()
    ]
    wrong = [pair for pair in pairs if pair.breaking == breaking and not pair.right(weights)]
    wrong.sort(key=lambda pair: pair.real.total(weights) - pair.broken.total(weights))
    for pair in wrong[:EXAMPLES]:
        gains = pair.gains(weights)
        merit = min(gains, key=lambda name: gains[name])
        behind = pair.broken.total(weights) - pair.real.total(weights)
        rows.append(Figure(f"  wrong: {pair.name}", f"{behind:.1f} behind", "", f"most by: {merit} {gains[merit]:.1f}"))
    return rows
