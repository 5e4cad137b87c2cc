"""For every merit two small pieces of which it alone says which is better: all other merits count the same of both.

`python -m tests.outside.ranking.cases FOLDER` draws winner and loser of each.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from solver.brief.plan import Plan
from solver.export.picture import picture_svg
from solver.heard import Heard
from solver.merits import (
    bass_walks,
    blend,
    chords_spelled,
    contrary_motion,
    few_pitches,
    gaps_filled,
    halves_alike,
    leaps_turn_back,
    low_intervals,
    motif_returns,
    seam,
    small_moves,
    smoothness,
    strong_harmony,
    syncopation,
)
from tests.rules.small import heard, plan_of

LEAD = "C5 E5 D5 C5 | E5 G5 E5 D5"
LOW = "C3 E3 D3 C3 | E3 G2 F2 G2"


@dataclass(frozen=True)
class Case:
    """Lead and low part of the winner, and of the loser."""

    merit: str
    winner: tuple[str, str]
    loser: tuple[str, str]

    def heard(self, plan: Plan) -> tuple[Heard, Heard]:
        """Winner and loser under a plan."""
        (a, b), (c, d) = self.winner, self.loser
        return heard(plan, lead=a, low=b), heard(plan, lead=c, low=d)


CASES = (
    Case(small_moves.NAME, ("C5 E5 E4 C5 | E5 G5 E5 D5", LOW), ("C5 E5 G3 C5 | E5 G5 E5 D5", LOW)),
    Case(leaps_turn_back.NAME, ("A5 E5 C5 A4 | C5 G5 E5 A4", LOW), ("A5 E5 C5 A4 | E5 G5 E5 A4", LOW)),
    Case(few_pitches.NAME, ("C5 E5 D5 C5 | D5 G5 E5 D5", LOW), ("C5 E5 D5 C5 | F5 G5 E5 D5", LOW)),
    Case(
        chords_spelled.NAME,
        ("C5 E5 C6 C5 | E5 G5 E5 D5", "C3 E3 D3 C3 | E3 A2 F2 G2"),
        ("C5 E5 C6 C5 | E5 F5 E5 D5", LOW),
    ),
    Case(
        motif_returns.NAME,
        ("A4 E5 D5 C5 | E5 G5 E5 D5", "C3 E3 D3 D3 | E3 G2 F2 G2"),
        ("A4 D5 D5 C5 | E5 G5 E5 D5", LOW),
    ),
    Case(
        halves_alike.NAME,
        ("C5 E5 D5 C5 | C5 G4 G4 D5", "A2 E3 D3 G3 | E3 G2 F2 G2"),
        ("C5 E5 D5 C5 | G4 G4 G4 D5", "A2 E3 D3 G3 | E3 G2 F2 G2"),
    ),
    Case(bass_walks.NAME, (LEAD, LOW), (LEAD, "C3 E3 F2 C3 | E3 G2 F2 G2")),
    Case(contrary_motion.NAME, (LEAD, "C3 E3 D3 G3 | E3 G2 F2 G2"), (LEAD, "C3 E3 D3 G2 | E3 G2 F2 G2")),
    Case(
        strong_harmony.NAME,
        ("C5 E5 D5 C5 | C5 G5 E5 D5", "C3 E2 D3 C3 | E3 G2 F2 G2"),
        ("C5 E5 D5 C5 | C5 G5 E5 D5", "C3 E2 D3 C3 | F3 G2 F2 G2"),
    ),
    Case(
        smoothness.NAME,
        ("C5 E5 D5 C5 | C5 G5 E5 D5", LOW),
        ("C5 E5 D5 C5 | C5 G5 E5 D5", "C3 E3 D3 C3 | G2 G2 F2 G2"),
    ),
    Case(low_intervals.NAME, ("C4 E4 D3 C4 | F3 G4 E4 D4", LOW), ("C4 E4 F3 C4 | D3 G4 E4 D4", LOW)),
    Case(blend.NAME, (LEAD, "C4 E3 D3 C3 | E3 G2 F2 G3"), (LEAD, LOW)),
    Case(
        gaps_filled.NAME,
        ("C5 . D5 . | E5 G5 E5 D5", "C3 F2 D3 C3 | E3 G2 E3 G2"),
        ("C5 . D5 . | E5 G5 E5 D5", "C3 . D3 C3 | E3 G2 E3 G2"),
    ),
    Case(
        syncopation.NAME,
        ("C5 E5 C5 D5 | - G5 E5 D5", "C3 E3 D3 C3 | G3 G2 F2 G2"),
        ("C5 E5 D5 C5 | E5 G5 - D5", "C3 E3 D3 C3 | G3 G2 F2 G2"),
    ),
    Case(seam.NAME, (LEAD, "C3 E3 D3 C3 | E3 G2 F2 E3"), (LEAD, "C3 E3 D3 C3 | E3 G2 F2 C4")),
)


def plan_of_cases() -> Plan:
    """Two bars of C with a lead and a low part, and the weights of the table."""
    return plan_of("bars = 2; chord_bars = 2", lead="repeat_every = 2", low="")


def pictures(folder: Path) -> list[Path]:
    """Draw winner and loser of every case: ``small-moves-winner.svg`` and so on."""
    plan, written = plan_of_cases(), []
    folder.mkdir(parents=True, exist_ok=True)
    for case in CASES:
        for outcome, music in zip(("winner", "loser"), case.heard(plan), strict=True):
            written.append(folder / f"{case.merit.replace(' ', '-')}-{outcome}.svg")
            written[-1].write_text(picture_svg(plan, music.arrangement), encoding="utf-8")
    return written


if __name__ == "__main__":
    for path in pictures(Path(sys.argv[1])):
        print(path)
