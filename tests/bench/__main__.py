"""``python -m tests.bench [--repeat N] [NAME …]``: medians of N runs, five where it is not said, as one table."""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module

from solver.commands.printing import Column, print_line, print_table
from tests.bench.figure import Bench, Figure

# Where each figure is measured; a module is imported when its figure is asked for.
ALL = {
    "help": "help_start",
    "first": "first_arrangement",
    "six": "all_arrangements",
    "proof": "proof",
    "shares": "shares",
    "memory": "memory",
    "family": "family",
    "growth": "growth",
    "reduced": "reduced",
    "rework": "rework",
    "study": "study_time",
    "avoid": "avoid",
    "conflict": "conflicts",
    "export": "export",
    "page": "page",
    "ranking": "ranking",
    "dullness": "dullness",
    "variety": "variety",
    "soak": "soak",
    "model_size": "model_size",
}
# What takes many minutes is measured where it is named.
LONG = ("ranking", "dullness", "variety", "soak", "model_size")
COLUMNS = (Column("figure", wraps=True), Column("median", right=True), Column("aim", right=True), Column("spread"))


def main() -> None:
    """Measure what is asked for, and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help=f"figures to measure: {', '.join(ALL)}; all but {', '.join(LONG)}"
    )
    parser.add_argument("--repeat", type=int, default=5, metavar="N", help="runs for each figure: 5")
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="which briefs the soak draws: 1")
    asked = parser.parse_args()
    unknown = [name for name in asked.names if name not in ALL]
    if unknown or asked.repeat < 1:
        parser.error(f"no figure {unknown[0]!r}" if unknown else "--repeat is at least 1")
    from tests.bench.machine import machine

    # Where this is set, every command compiles all of its modules anew; on a producer's machine none does.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    head = machine()
    bench = Bench(asked.repeat, lambda words: print(words, file=sys.stderr, flush=True), asked.seed)
    names = asked.names or [name for name in ALL if name not in LONG]
    rows = [figure for name in names for figure in figures_of(name, bench)]
    print_line(head)
    print_line(f"ferry-lights where no other brief is named; medians of {asked.repeat}")
    print_line()
    print_table(COLUMNS, [(row.name, row.value, row.aim, row.spread) for row in rows])


def figures_of(name: str, bench: Bench) -> list[Figure]:
    """The figures of a name."""
    return import_module(f"tests.bench.{ALL[name]}").figures(bench)


if __name__ == "__main__":
    main()
