"""Euclidean rhythms: every published one is among the cells that are enumerated.

Toussaint 2005, "The Euclidean algorithm generates traditional musical rhythms" (BRIDGES), as a public readme quotes its
list; the paper was not opened. Its string for E(5,16) is quoted with 17 signs, so its intervals (33334) are used.
"""

from __future__ import annotations

from math import comb

import pytest

from solver.rhythm.cells import compositions
from solver.rhythm.measures import intervals

PUBLISHED = (
    "x.x",
    "x.x..",
    "x.xx",
    "x.x.x",
    "x.x.x..",
    "x..x..x.",
    "x.x.x.x",
    "x.x.x.x..",
    "x..x..x..x.",
    "x.xxxx",
    "x.xx.xx",
    "x.xx.xx.",
    "x.x.x.x.x",
    "x.x.x.x.x..",
    "x..x.x..x.x.",
    "x..x..x..x..x...",
    "x.xxxxxx",
    "x.xx.x.xx.x.",
    "x..x.x.x..x.x.x.",
    "x.xx.x.x.xx.x.x.",
    "x..x.x.x.x.x..x.x.x.x.x.",
    "x.xx.x.x.x.x.xx.x.x.x.x.",
)
INTERVALS = {
    (2, 3): "21",
    (2, 5): "23",
    (3, 4): "211",
    (3, 5): "221",
    (3, 7): "223",
    (3, 8): "332",
    (4, 7): "2221",
    (4, 9): "2223",
    (4, 11): "3332",
    (5, 6): "21111",
    (5, 7): "21211",
    (5, 8): "21212",
    (5, 9): "22221",
    (5, 11): "22223",
    (5, 12): "32322",
    (5, 16): "33334",
    (7, 8): "2111111",
    (7, 12): "2122122",
    (7, 16): "3223222",
    (9, 16): "212221222",
    (11, 24): "32222322222",
    (13, 24): "2122222122222",
}
MOST_CELLS = 20_000  # E(13,24) is one of two and a half million: too many to enumerate in a test


def bjorklund(onsets: int, slots: int) -> str:
    """The rhythm that the Euclidean algorithm makes (Bjorklund's way, as Toussaint 2005 describes it)."""
    heads, tails = ["x"] * onsets, ["."] * (slots - onsets)
    while len(tails) > 1:
        paired = min(len(heads), len(tails))
        merged = [head + tail for head, tail in zip(heads, tails, strict=False)]
        heads, tails = merged, heads[paired:] or tails[paired:]
    return "".join(heads + tails)


def necklace(rhythm: str) -> str:
    """One of all turns of a rhythm, the same for each of them."""
    return max(rhythm[turn:] + rhythm[:turn] for turn in range(len(rhythm)))


def placed(rhythm: str) -> tuple[int, ...]:
    """The slots with an onset."""
    return tuple(slot for slot, sign in enumerate(rhythm) if sign == "x")


PAIRS = [(len(placed(rhythm)), len(rhythm)) for rhythm in PUBLISHED]


def test_the_list_is_whole() -> None:
    assert sorted(PAIRS) == sorted(INTERVALS)


@pytest.mark.parametrize("rhythm", PUBLISHED)
def test_strings_and_intervals_agree(rhythm: str) -> None:
    gaps = "".join(map(str, intervals(placed(rhythm), len(rhythm))))
    assert gaps == INTERVALS[rhythm.count("x"), len(rhythm)]


@pytest.mark.parametrize("rhythm", PUBLISHED)
def test_the_algorithm_gives_the_published_necklaces(rhythm: str) -> None:
    assert necklace(bjorklund(rhythm.count("x"), len(rhythm))) == necklace(rhythm)


def test_four_are_turned() -> None:
    """Those published for E(2,3), E(3,4), E(5,6) and E(7,8) are turns of what the algorithm gives (recomputed)."""
    turned = [pair for pair, rhythm in zip(PAIRS, PUBLISHED, strict=True) if bjorklund(*pair) != rhythm]
    assert turned == [(2, 3), (3, 4), (5, 6), (7, 8)]


@pytest.mark.parametrize("rhythm", PUBLISHED)
def test_it_is_among_the_cells(rhythm: str) -> None:
    """Neighbours may be as near as the rhythm's own are; each turn that starts with an onset is there too."""
    onsets, grid = placed(rhythm), len(rhythm)
    shortest = min(intervals(onsets, grid))
    number = comb(grid - (len(onsets) - 1) * (shortest - 1), len(onsets))
    if number > MOST_CELLS:
        assert (len(onsets), grid) == (13, 24)
        return
    cells = set(compositions(grid, len(onsets), shortest))
    assert len(cells) == number
    turns = {tuple(sorted((slot - first) % grid for slot in onsets)) for first in onsets}
    assert onsets in turns
    assert turns <= cells
