"""``python -m tests.bench.study_corpus``: the study on all of music21's corpus that has published truth, as a table.

Takes half an hour. The tests hold the same figures on samples.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from solver.commands.printing import Column, print_line, print_table
from tests.outside.corpus_pieces import Analysed, chorales, sample, tune_texts
from tests.outside.study_figures import (
    STUDY,
    Share,
    keys_of_chorales,
    keys_of_tunes,
    repeats_of_tunes,
    roots_of_chorales,
)

COLUMNS = (Column("what", wraps=True), Column("study", right=True), Column("best single profile", wraps=True))
FOLDERS = {
    "essenFolksong": "Essen collection",
    "ryansMammoth": "Ryan's Mammoth Collection",
    "oneills1850": "O'Neill's 1850 tunes",
    "airdsAirs": "Aird's Airs",
}
SEED = 1


def main() -> None:
    """Count everything, or so many tunes of each collection, and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.study_corpus", description=__doc__)
    parser.add_argument("--tunes", type=int, metavar="N", help="tunes of each collection, drawn by a seed: all")
    asked = parser.parse_args()
    rows = [_row(f"tonic, {title}", keys_of_tunes(_drawn(folder, asked.tunes))) for folder, title in FOLDERS.items()]
    rows.append(_row("tonic, Essen collection without China", keys_of_tunes(_european(asked.tunes))))
    pieces = [piece for piece in chorales() if piece.aligned]
    rows.append(_row("key and mode, chorales with analyses", keys_of_chorales(pieces)))
    rows += _roots(pieces)
    repeats = repeats_of_tunes(_drawn("ryansMammoth", asked.tunes))
    rows.append(("all notated repeats, fiddle tunes", _words(repeats), ""))
    print_line("music21's corpus, read in place")
    print_line()
    print_table(COLUMNS, rows)


def _drawn(folder: str, number: int | None) -> list[str]:
    texts = tune_texts(folder)
    return sample(texts, number if number is None else min(number, len(texts)), SEED)


def _european(number: int | None) -> list[str]:
    texts = tune_texts("essenFolksong", leave_out="han")
    return sample(texts, number if number is None else min(number, len(texts)), SEED)


def _roots(pieces: Iterable[Analysed]) -> list[tuple[str, str, str]]:
    roots, thirds = roots_of_chorales(pieces)
    return [
        ("time with the analysis' root, chorales", f"{roots.share:.1%}", ""),
        ("time with its root and third, chorales", f"{thirds.share:.1%}", ""),
    ]


def _row(what: str, shares: dict[str, Share]) -> tuple[str, str, str]:
    name, best = max(((n, s) for n, s in shares.items() if n != STUDY), key=lambda item: item[1].good)
    return what, _words(shares[STUDY]), f"{_words(best)} ({name})"


def _words(share: Share) -> str:
    return f"{share.good} of {share.all}, {share.share:.4f}"


if __name__ == "__main__":
    main()
