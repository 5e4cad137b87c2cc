"""``python -m tests.bench.study_audio [NAME …]``: what the study of sound finds in renders of the reference loops.

Each loop is played on the string model and, where the machine has them, on samples; figures by mir_eval.
"""

from __future__ import annotations

import argparse
from statistics import mean

from solver.commands.printing import Column, print_line, print_table
from solver.export.sound.rendering import RATE
from solver.export.sound.sampled import find_sampled
from tests.outside.audio_figures import Scores, scores
from tests.study.writing import NAMES

COLUMNS = (
    Column("loop"),
    Column("tempo"),
    *(Column(name, right=True) for name in ("key", "chords", "onsets", "notes")),
    Column("key among the candidates"),
)


def main() -> None:
    """Study the loops that are named, or all, and print a table for each sound."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.study_audio", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help="reference loops: all")
    asked = parser.parse_args()
    samples = find_sampled(RATE)
    for title, player in (("string model", None), *([("samples", samples)] if samples else [])):
        found = [scores(name, player) for name in asked.names or NAMES]
        print_line(title)
        print_line()
        print_table(COLUMNS, [_row(one) for one in found] + [_means(found)])
        print_line()


def _row(one: Scores) -> tuple[str, ...]:
    figures = (one.key, one.chords, one.onsets, one.notes)
    return (
        one.name,
        "found" if one.tempo else "",
        *(f"{figure:.2f}" for figure in figures),
        "yes" if one.candidate else "",
    )


def _means(found: list[Scores]) -> tuple[str, ...]:
    figures = (
        mean(one.key for one in found),
        mean(one.chords for one in found),
        mean(one.onsets for one in found),
        mean(one.notes for one in found),
    )
    tempo, candidate = sum(one.tempo for one in found), sum(one.candidate for one in found)
    of = len(found)
    return "mean", f"{tempo} of {of}", *(f"{figure:.2f}" for figure in figures), f"{candidate} of {of}"


if __name__ == "__main__":
    main()
