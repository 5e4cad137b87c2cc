"""A small brief with a repeat, one arrangement of it, and reworks of that, for tests that lock notes."""

from __future__ import annotations

from functools import cache

from solver.arrangement import Arrangement, Ranked
from solver.brief.planning import plan_from_text
from solver.rework import Job, Origin, Wish, prepare
from solver.search.outcome import Outcome
from solver.search.pool import arrange
from solver.take import Parent

NAME = "slack-tide"
LIMIT = 0.4  # deterministic seconds for a rhythm: enough for some solution, not for a proof
TEXT = """# A rope drill in the invented ferry town.
key = "A minor"
bars = 4
chords = ["Am", "F"]
chord_bars = 1
grid = 8
count = 1

[parts.lead]
repeat_every = 2  # bars
notes_per_bar = [3, 4]
range = "A4..E5"
vary_notes = [1, 1]

[parts.low]
notes_per_bar = [2, 3]
range = "E2..E3"

[parts.middle]
role = "background"
notes_per_bar = [1, 2]
range = "A3..G4"
"""


def solved(job: Job) -> Outcome:
    """What a rework finds."""
    return arrange(
        job.plan,
        count=job.count,
        seed=job.seed,
        limit=LIMIT,
        variety=job.variety,
        rhythms=job.rhythms,
    )


@cache
def first() -> Arrangement:
    """An arrangement of the brief."""
    return arrange(plan_from_text(TEXT, NAME), count=1, limit=LIMIT).arrangements[0].arrangement


def origin() -> Origin:
    """That arrangement, as if it came from a take."""
    return Origin(NAME, TEXT, 0, first(), Parent("take-001", 1))


def reworked(*locks: str, **others: object) -> tuple[Job, tuple[Ranked, ...]]:
    """A rework of it with these locks, and what was found."""
    job = prepare(origin(), Wish(locks, **others))  # pyright: ignore[reportArgumentType]
    return job, solved(job).arrangements
