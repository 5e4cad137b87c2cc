"""Pairs of a real version and a broken one, and how many of them the merits rank right. A tie is not right."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from random import Random

from solver.heard import Heard
from solver.merits import every_merit
from tests.outside.ranking.broken_tunes import BREAKINGS
from tests.outside.ranking.chorales import TEXTURE, TEXTURE_BREAKINGS
from tests.outside.ranking.judging import Judged, judged, judged_heard
from tests.outside.ranking.tunes import Tune

EQUAL = {merit.name: 1 for merit in every_merit()}
AIMS = {
    "notes shuffled": 0.95,
    "steps from the same histogram": 0.85,
    "a bar moved by a scale step": 0.75,
    "onsets shuffled": 0.75,
    "last bar of another tune": 0.75,
    "last bar from within another tune": 0.75,
} | dict.fromkeys(TEXTURE_BREAKINGS, 0.90)


@dataclass(frozen=True)
class Pair:
    """One piece: how it was broken, and what the merits say of both versions."""

    name: str
    breaking: str
    real: Judged
    broken: Judged

    def right(self, weights: Mapping[str, float]) -> bool:
        """Whether the total of the real version is higher."""
        return self.real.total(weights) > self.broken.total(weights)

    def better_by(self, merit: str) -> int:
        """1, 0 or -1: what a merit alone says of the real version."""
        real, broken = self.real.worths[merit], self.broken.worths[merit]
        return (real > broken) - (real < broken)

    def gains(self, weights: Mapping[str, float]) -> dict[str, float]:
        """Points of the total by which the real version is ahead, by merit."""
        alone = {name: 100 * weights[name] for name in self.real.worths}
        whole = sum(weights[name] for name in self.real.worths)
        return {n: w * (self.real.worths[n] - self.broken.worths[n]) / whole for n, w in alone.items()}


def tune_pairs(tunes: Sequence[Tune], kinds: Collection[str] = BREAKINGS) -> list[Pair]:
    """Every tune against a version of each of the kinds, drawn by a seed of its own."""
    pairs = []
    for index, tune in enumerate(tunes):
        real = judged(tune, EQUAL)
        for name in kinds:
            broken = BREAKINGS[name](tune, tunes, Random(f"{index} {name}"))
            if broken is not None:
                pairs.append(Pair(tune.name, name, real, judged(broken, EQUAL)))
    return pairs


def texture_pairs(loops: Iterable[Heard], kinds: Collection[str] = TEXTURE_BREAKINGS) -> list[Pair]:
    """Every loop of three voices against a version of each of the kinds, by the merits of texture alone."""
    weights: dict[str, int] = dict.fromkeys(TEXTURE, 1)
    pairs: list[Pair] = []
    for index, heard in enumerate(loops):
        before = next((pair.real for pair in pairs if pair.name == heard.plan.name), None)
        real = before or judged_heard(heard, weights)
        for name in kinds:
            broken = judged_heard(TEXTURE_BREAKINGS[name](heard, Random(f"{index} {name}")), weights)
            pairs.append(Pair(heard.plan.name, name, real, broken))
    return pairs


def share_right(pairs: Sequence[Pair], breaking: str, weights: Mapping[str, float]) -> tuple[float, int]:
    """The share of pairs ranked right, and of how many."""
    of_kind = [pair for pair in pairs if pair.breaking == breaking]
    return sum(pair.right(weights) for pair in of_kind) / max(1, len(of_kind)), len(of_kind)


def by_merit(pairs: Sequence[Pair], breaking: str) -> dict[str, tuple[float, float]]:
    """For each merit the share of pairs that it alone ranks right, and the share that it ranks wrong."""
    of_kind = [pair for pair in pairs if pair.breaking == breaking]
    names = of_kind[0].real.worths if of_kind else ()
    found = {}
    for name in names:
        signs = [pair.better_by(name) for pair in of_kind]
        found[name] = signs.count(1) / len(signs), signs.count(-1) / len(signs)
    return found
