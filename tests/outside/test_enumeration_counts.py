"""The enumerator against published counts: it drives python-constraint for the fretboard too."""

from __future__ import annotations

from itertools import combinations, pairwise
from math import comb

import pytest

from solver.music.enumeration import Rule, solutions


def all_interval_rows(notes: int, *, first_half: bool = False, tritone_last: bool = False) -> list[tuple[int, ...]]:
    """Rows of all notes of an octave of that many, from 0, whose steps (modulo the octave) are all different.

    ``first_half`` keeps one of each pair of a row and its inversion; ``tritone_last`` wants the last note n/2.
    """

    def goes_on(*row: int) -> bool:
        step = (row[-1] - row[-2]) % notes
        return row[-1] not in row[:-1] and all((b - a) % notes != step for a, b in pairwise(row[:-1]))

    domains = [[0], *(list(range(1, notes)) for _ in range(notes - 1))]
    if first_half:
        domains[1] = list(range(1, notes // 2))
    if tritone_last:
        domains = [*([note for note in domain if note != notes // 2] for domain in domains[:-1]), [notes // 2]]
    rules: list[Rule] = [(goes_on, range(length)) for length in range(2, notes + 1)]
    return solutions(domains, rules)


# OEIS A141598 (rows from any note, n times these; n = 2, 4, …): 2, 8, 24, 192, 2880, 46272, …; odd n have none.
# Knuth, The Art of Computer Programming 7.2.2.1, exercise 103, as quoted in a literate program: 3856 for n = 12.
@pytest.mark.parametrize(
    ("notes", "count"), [(2, 1), (4, 2), (6, 4), (8, 24), (10, 288), (3, 0), (5, 0), (7, 0), (9, 0)]
)
def test_all_interval_rows(notes: int, count: int) -> None:
    rows = all_interval_rows(notes)
    assert len(rows) == count
    assert all(row[-1] == notes // 2 for row in rows)  # the same exercise, part a


def test_all_interval_rows_of_twelve_notes() -> None:
    """1928 up to inversion (OEIS A067601, half of A141599's 3856); the last note is the tritone (Knuth, as above)."""
    rows = set(all_interval_rows(12, first_half=True, tritone_last=True))
    inverted = {tuple(-note % 12 for note in row) for row in rows}
    assert len(rows) == 1928
    assert len(rows | inverted) == 3856
    # Rows printed in the literate program and in a test of music21.
    assert {
        (0, 1, 3, 2, 7, 10, 8, 4, 11, 5, 9, 6),
        (0, 1, 4, 2, 9, 5, 11, 3, 8, 10, 7, 6),
        (0, 11, 7, 4, 2, 9, 3, 8, 10, 1, 5, 6),
        tuple((note - 5) % 12 for note in (5, 4, 0, 9, 7, 2, 8, 1, 3, 6, 10, 11)),
    } <= rows | inverted


@pytest.mark.parametrize(("notes", "count"), [(2, 2), (3, 4), (4, 4), (5, 8), (6, 24), (7, 32), (8, 40)])
def test_all_interval_series(notes: int, count: int) -> None:
    """CSPLib problem 007, absolute differences; the counts recomputed from its specification."""

    def goes_on(*row: int) -> bool:
        step = abs(row[-1] - row[-2])
        return row[-1] not in row[:-1] and all(abs(b - a) != step for a, b in pairwise(row[:-1]))

    rules: list[Rule] = [(goes_on, range(length)) for length in range(2, notes + 1)]
    assert len(solutions([list(range(notes))] * notes, rules)) == count


def images(bits: tuple[int, ...], *, mirrored: bool, times: tuple[int, ...] = (1,)) -> list[tuple[int, ...]]:
    """A cyclic pattern turned to every place, mirrored or not, its places multiplied by each of ``times``."""
    size = len(bits)
    signs = (1, -1) if mirrored else (1,)
    factors = [sign * factor for sign in signs for factor in times]
    return [tuple(bits[(factor * i + turn) % size] for i in range(size)) for factor in factors for turn in range(size)]


def count_classes(size: int, *, mirrored: bool, times: tuple[int, ...] = (1,)) -> list[int]:
    """Cyclic patterns by their number of ones, each class counted once by its greatest image."""

    def is_greatest(*bits: int) -> bool:
        return bits == max(images(bits, mirrored=mirrored, times=times))

    found = solutions([[0, 1]] * size, [(is_greatest, range(size))])
    return [sum(1 for bits in found if sum(bits) == ones) for ones in range(size + 1)]


def test_set_classes_under_transposition_and_inversion() -> None:
    """Forte's list as music21 10.5 and AMADS (pc_sets.py) have it: 224 set classes, 208 with 3 to 9 notes."""
    counts = count_classes(12, mirrored=True)
    assert counts == [1, 1, 6, 12, 29, 38, 50, 38, 29, 12, 6, 1, 1]
    assert (sum(counts), sum(counts[3:10]), sum(counts[2:11])) == (224, 208, 220)


def test_set_classes_under_transposition() -> None:
    """352 binary necklaces of twelve (recomputed)."""
    assert count_classes(12, mirrored=False) == [1, 1, 6, 19, 43, 66, 80, 66, 43, 19, 6, 1, 1]


def test_set_classes_under_multiplication_too() -> None:
    """158 classes under transposition, inversion and multiplication by five (recomputed)."""
    assert count_classes(12, mirrored=True, times=(1, 5)) == [1, 1, 5, 9, 21, 25, 34, 25, 21, 9, 5, 1, 1]


def test_necklaces_and_bracelets_of_eight() -> None:
    """Recomputed."""
    assert count_classes(8, mirrored=False) == [1, 1, 4, 7, 10, 7, 4, 1, 1]
    assert count_classes(8, mirrored=True) == [1, 1, 4, 5, 8, 5, 4, 1, 1]


@pytest.mark.parametrize("onsets", [1, 2, 3, 4, 5])
def test_rhythms_of_sixteen_slots(onsets: int) -> None:
    """C(16, k) rhythms of k onsets."""
    rising: list[Rule] = [(lambda a, b: a < b, pair) for pair in pairwise(range(onsets))]
    assert len(solutions([list(range(16))] * onsets, rising)) == comb(16, onsets)


def test_rhythms_with_the_oddity_property() -> None:
    """C(8, k) 2^k rhythms of sixteen slots have no two onsets half a bar apart (recomputed)."""
    apart: list[Rule] = [(lambda a, b: not (a and b), (slot, slot + 8)) for slot in range(8)]
    found = solutions([[0, 1]] * 16, apart)
    counts = [sum(1 for bits in found if sum(bits) == ones) for ones in range(9)]
    assert counts == [1, 16, 112, 448, 1120, 1792, 1792, 1024, 256]
    assert counts == [comb(8, ones) * 2**ones for ones in range(9)]


@pytest.mark.parametrize(
    ("length", "widest", "repeats", "count"),
    [(8, 1, True, 11814), (8, 1, False, 592), (8, 2, False, 45642), (4, 1, True, 176), (4, 1, False, 48)],
)
def test_walks_on_a_scale_of_eight_notes(length: int, widest: int, repeats: bool, count: int) -> None:
    """Lines of so many notes by steps of at most one or two, with or without repeated notes (recomputed)."""
    near: list[Rule] = [
        (lambda a, b: abs(a - b) <= widest and (repeats or a != b), pair) for pair in pairwise(range(length))
    ]
    assert len(solutions([list(range(8))] * length, near)) == count


@pytest.mark.parametrize(("steps", "motzkin"), list(enumerate([1, 1, 2, 4, 9, 21, 51, 127, 323, 835, 2188])))
def test_closed_walks_that_never_go_below_the_start(steps: int, motzkin: int) -> None:
    """The Motzkin numbers: steps of -1, 0 and 1, back to the start (recomputed)."""
    domains = [[0], *(list(range(steps)) for _ in range(steps - 1)), [0]][: steps + 1]
    near: list[Rule] = [(lambda a, b: abs(a - b) <= 1, pair) for pair in pairwise(range(steps + 1))]
    assert len(solutions(domains, near)) == motzkin


def test_queens() -> None:
    """Solutions of the n queens problem, n = 1 to 7: 1, 0, 0, 2, 10, 4, 40 (recomputed)."""
    counts = []
    for size in range(1, 8):
        rules: list[Rule] = []
        for one, other in combinations(range(size), 2):
            rules.append((lambda a, b, apart=other - one: a != b and abs(a - b) != apart, (one, other)))
        counts.append(len(solutions([list(range(size))] * size, rules)))
    assert counts == [1, 0, 0, 2, 10, 4, 40]
