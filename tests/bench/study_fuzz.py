"""``python -m tests.bench.study_fuzz [--files N] [--seed N]``: damaged files, each a study or one line, none for long.

Half of the files are MIDI, half MusicXML. Prints what came of them, and fails on anything else.
"""

from __future__ import annotations

import argparse
import random
import re
import tempfile
import time
from collections import Counter
from pathlib import Path

from solver.commands.printing import Column, print_line, print_table
from tests.study.damage import damaged, midi_bytes, outcome, xml_bytes

LONGEST = 5.0  # seconds of computing that a file may take
COLUMNS = (Column("outcome", wraps=True), Column("files", right=True))
MIDI = ("mist-lanterns", "all-hands-below", "two-in-one-boat")
SCORES = ("mist-lanterns", "gull-watch")


def main() -> None:
    """Damage and study, then print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.study_fuzz", description=__doc__)
    parser.add_argument("--files", type=int, default=5000, metavar="N", help="files: 5000")
    parser.add_argument("--seed", type=int, default=0, metavar="N", help="another seed, other damage")
    asked = parser.parse_args()
    dice = random.Random(asked.seed)
    outcomes: Counter[str] = Counter()
    slowest = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for number in range(asked.files):
            is_score = number % 2 == 1
            data = xml_bytes(dice.choice(SCORES), 2) if is_score else midi_bytes(dice.choice(MIDI))
            data = damaged(data, dice)
            began = time.process_time()
            try:
                line = outcome(data, Path(folder) / ("x.musicxml" if is_score else "x.mid"))
            except Exception:
                Path("damaged.bin").write_bytes(data)
                print_line(f"file {number} of seed {asked.seed} is kept in damaged.bin")
                raise
            taken = time.process_time() - began
            slowest = max(slowest, taken)
            if taken > LONGEST:
                raise SystemExit(f"file {number} of seed {asked.seed} took {taken:.1f} s")
            outcomes[_kind(line)] += 1
    print_line(f"{asked.files} damaged files, the slowest took {slowest:.2f} s")
    print_line()
    print_table(COLUMNS, [(kind, str(count)) for kind, count in outcomes.most_common()])


def _kind(line: str) -> str:
    """An outcome without the file's name, places, numbers and quoted words."""
    words = re.sub(r"^\S+?:(\d+:\d+:)? ", "", line).split("; ")[0]
    return re.sub(r"\d+", "N", re.sub(r'"[^"]*"|\([^)]*\)', "…", words))


if __name__ == "__main__":
    main()
