"""Reworking an arrangement: what is locked stays, the rest is solved anew, and the brief may change.

    origin = from_take(read_take(Path("out/ferry-lights/take-001")), 3)
    job = prepare(origin, Wish(locks=("lead", "low:1-4"), changes=('tempo = 120',)))
    done = rework(job, folder=Path("out/ferry-lights"))

``prepare`` says what to search; whoever searches otherwise than ``rework`` takes plan, header, variety and rhythms from
what it returns.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.arrangement import Arrangement, Ranked
from solver.avoided import Avoided
from solver.brief.plan import Plan
from solver.held import Held
from solver.locks import held_notes
from solver.music.faults import Fault
from solver.takes.record import Parent, Take, TakeError, TakeHeader

if TYPE_CHECKING:
    from solver.rhythm.skeleton import Skeleton
    from solver.search.outcome import Outcome, Progress
    from solver.search.variety import Variety


@dataclass(frozen=True)
class Origin:
    """The arrangement that a rework begins with, and its brief. ``parent`` is None where it came from a MIDI file."""

    brief_name: str
    brief_text: str
    seed: int | None  # the seed that led to it; None: the brief's
    arrangement: Arrangement
    parent: Parent | None = None
    midi: str | None = None  # the MIDI file's name
    references: tuple[Avoided, ...] = ()  # what its brief keeps clear of
    avoided_takes: tuple[str, ...] = ()  # and the earlier takes that it kept clear of, by their folders' names
    lines: tuple[Held, ...] = ()  # what its brief takes from files


@dataclass(frozen=True)
class Wish:
    """What is to stay (locks in words), what is to change in the brief (``key = value``), and how near it is to stay.

    ``like``: a fifth to a third of the notes differ from the origin. ``unlike``: far from every arrangement in
    ``seen`` as well as from the origin.
    """

    locks: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    like: bool = False
    unlike: bool = False
    seen: tuple[Arrangement, ...] = ()
    count: int | None = None  # None: the brief's
    seed: int | None = None  # None: the origin's
    seconds: float | None = None
    avoid: tuple[Avoided, ...] = ()  # files to keep clear of besides the origin's
    avoid_takes: tuple[Avoided, ...] = ()  # the origin's earlier takes, read


@dataclass(frozen=True)
class Job:
    """All that a search needs. ``rhythms`` are the ones to try; None: all. Where metre or grid have changed, nothing of
    the origin is there to differ from."""

    plan: Plan
    header: TakeHeader
    origin: Arrangement
    variety: Variety
    rhythms: Iterable[Skeleton] | None
    count: int
    seed: int
    seconds: float | None

    def distance(self, arrangement: Arrangement) -> float:
        """How far it is from the origin, or from the nearest that it is to be unlike: 0 to 1 of the free notes."""
        from solver.search.variety import distance

        return min((distance(self.plan, arrangement, old) for old in self.variety.seen), default=1.0)


@dataclass(frozen=True)
class Reworked:
    """The take's folder (None where nothing was found before the search was stopped) and what the search found."""

    folder: Path | None
    outcome: Outcome


class NothingLeft(Fault):
    """Everything is locked."""


def from_take(take: Take, number: int) -> Origin:
    """Arrangement ``number`` (from 1) of a take. Raises TakeError where there is none."""
    count = len(take.arrangements)
    if not 1 <= number <= count:
        right = "write 1" if count == 1 else f"write a number from 1 to {count}"
        raise TakeError(take.folder, f"there is no arrangement {number}; {right}")
    header = take.header
    arrangement = take.arrangements[number - 1].arrangement
    parent = Parent(take.name, number)
    return Origin(
        header.brief_name,
        header.brief_text,
        header.seed,
        arrangement,
        parent,
        references=header.references,
        avoided_takes=header.avoided_takes,
        lines=header.lines,
    )


def prepare(origin: Origin, wish: Wish) -> Job:
    """The search that a wish leads to. Raises BriefErrors for a change that cannot be, LockFaults for locks that
    cannot be, NothingLeft where all is locked, Fault for what does not go together."""
    from solver.brief.changes import PLACE, changed
    from solver.brief.planning import plan_from_text
    from solver.brief.toml_text import parse_toml
    from solver.rhythm.neighbours import neighbours
    from solver.search.variety import FAR, LEAST, NEAR, Variety, is_free
    from solver.study.references import clear_of

    before = plan_from_text(origin.brief_text, origin.brief_name, origin.references, origin.lines)
    references = (*origin.references, *wish.avoid)
    text = changed(origin.brief_text, wish.changes, origin.brief_name, references, origin.lines)
    if parse_toml(text, PLACE).get("avoid") != parse_toml(origin.brief_text, PLACE).get("avoid"):
        raise Fault("the references of a take are not changed so", "name more with --avoid, or arrange the brief anew")
    plan = clear_of(plan_from_text(text, origin.brief_name, references, origin.lines), wish.avoid_takes)
    lines = plan.held
    if lines and before.metre != plan.metre:
        wrong = "what the brief takes from files was read onto other slots"
        raise Fault(wrong, "keep meter and grid, or leave from out")
    held = held_notes(wish.locks, before, origin.arrangement, plan)
    plan = replace(plan, held=(*plan.held, *held))
    if not any(is_free(plan, part, slot) for part in plan.parts for slot in range(plan.slots)):
        raise NothingLeft("everything is locked, so nothing is left to solve", "unlock a part or some bars")
    seen = (origin.arrangement,) if before.metre == plan.metre else ()
    if wish.like and _frame(before) != _frame(plan):
        raise Fault("near an arrangement there are its bars, slots and parts", "change those without --like")
    if wish.like:
        variety = Variety(seen, NEAR[0], origin.arrangement, NEAR[1])
    elif wish.unlike:
        variety = Variety(tuple(dict.fromkeys((*seen, *wish.seen))), FAR)
    else:
        variety = Variety(seen, LEAST)
    seed = next(seed for seed in (wish.seed, origin.seed, plan.seed) if seed is not None)
    options: dict[str, Any] = {"count": wish.count, "time": wish.seconds}
    options |= {"like": True} if wish.like else {"unlike": True} if wish.unlike else {}
    options |= {"from": origin.midi} if origin.midi else {}
    header = TakeHeader(
        origin.brief_name,
        text,
        seed,
        options,
        origin.parent,
        wish.locks,
        wish.changes,
        references=references,
        avoided_takes=tuple(take.name for take in wish.avoid_takes),
        lines=lines,
    )
    count = wish.count or plan.count
    rhythms = tuple(islice(neighbours(plan, origin.arrangement, seed), count)) if wish.like else None
    return Job(plan, header, origin.arrangement, variety, rhythms, count, seed, wish.seconds)


def _frame(plan: Plan) -> tuple[object, ...]:
    return plan.metre, plan.bars, {part.name for part in plan.parts}


def rework(
    job: Job,
    folder: Path,
    *,
    on_progress: Callable[[Progress], None] = lambda progress: None,
    on_arrangement: Callable[[Ranked], None] = lambda ranked: None,
    stop: Callable[[], bool] = lambda: False,
) -> Reworked:
    """Search, and write the next take into the folder of the brief's takes.

    Raises NoArrangement where there is none, TakeError where the take cannot be written.
    """
    from solver.search.pool import arrange
    from solver.take import open_take

    with open_take(folder, job.header, job.plan) as take:

        def keep(ranked: Ranked) -> None:
            take.add(ranked)
            on_arrangement(ranked)

        outcome = arrange(
            job.plan,
            count=job.count,
            seed=job.seed,
            seconds=job.seconds,
            variety=job.variety,
            rhythms=job.rhythms,
            on_progress=on_progress,
            on_arrangement=keep,
            stop=stop,
        )
        return Reworked(take.finish(list(outcome.arrangements)) if outcome.arrangements else None, outcome)
