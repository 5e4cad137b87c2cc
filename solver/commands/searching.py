"""Running the search for a command: what it found, or why it found nothing and how the command ends then."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from solver.arrangement import Ranked
from solver.commands.ending import DONE, INTERRUPTED, REFUSED, UNDECIDED, Ending
from solver.commands.interrupt import Interrupt

if TYPE_CHECKING:
    from solver.brief.plan import Plan
    from solver.brief.source import Source
    from solver.rhythm.skeleton import Skeleton
    from solver.search.conflicts.reasons import Reasons
    from solver.search.outcome import NoArrangement, Outcome, Progress
    from solver.search.variety import Variety


@dataclass(frozen=True)
class Request:
    """What is asked of the search; ``seconds`` limits the wait. See ``solver.search.pool.arrange``."""

    count: int
    seed: int
    seconds: float | None = None
    variety: Variety | None = None
    rhythms: Iterable[Skeleton] | None = None
    compared: int | None = None
    source: Source | None = None  # the brief, to say which of its lines are to blame where nothing is found


@dataclass(frozen=True)
class Searched:
    """What came of a search: arrangements, best first, what to say about it, and the exit code.

    Without arrangements the first of ``remarks`` is the reason, as a sentence without its subject. ``conflicts``
    explain it where that could be done, as JSON values, and ``because`` says the same in lines.
    """

    arrangements: tuple[Ranked, ...]
    code: int
    remarks: tuple[str, ...]
    compared: str = ""
    conflicts: tuple[dict[str, Any], ...] = ()
    because: tuple[str, ...] = ()

    @property
    def refusal(self) -> str:
        """Why there is no arrangement, as many lines as it takes, and what else there is to say."""
        reason, *others = self.remarks
        return "\n".join((reason, *self.because, *others))

    def remarking(self, more: Iterable[str]) -> Searched:
        """The same with more remarks, before all but the reason."""
        first = 0 if self.arrangements else 1
        return replace(self, remarks=(*self.remarks[:first], *more, *self.remarks[first:]))


def search(
    plan: Plan,
    request: Request,
    interrupt: Interrupt,
    on_progress: Callable[[Progress], None],
    on_arrangement: Callable[[Ranked], None] = lambda ranked: None,
    on_sketch: Callable[[int, Ranked], None] | None = None,
    enough: Callable[[], bool] = lambda: False,
) -> Searched:
    """Search until as many are found as asked for, no more exist, time is up, Ctrl-C comes, or there are ``enough``.

    What was noticed while the brief's own lines were read is among the remarks, whatever comes of the search. Raises
    Ending where the search breaks a rule of its own.
    """
    searched = _search(plan, request, interrupt, on_progress, on_arrangement, on_sketch, enough)
    return searched.remarking(plan.notices)


def _search(
    plan: Plan,
    request: Request,
    interrupt: Interrupt,
    on_progress: Callable[[Progress], None],
    on_arrangement: Callable[[Ranked], None],
    on_sketch: Callable[[int, Ranked], None] | None,
    enough: Callable[[], bool],
) -> Searched:
    from solver.search.outcome import BrokenRule, NoArrangement
    from solver.search.pool import arrange
    from solver.study.nearest import with_nearest

    def stopped() -> bool:
        return interrupt.asked or enough()

    deadline = math.inf if request.seconds is None else time.monotonic() + request.seconds

    def over() -> bool:
        return stopped() or time.monotonic() >= deadline

    given = {"variety": request.variety, "rhythms": request.rhythms, "compared": request.compared}
    given |= {"reasons": _reasons(request.source, over) if request.source else None}
    others: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    try:
        outcome = arrange(
            plan,
            count=request.count,
            seed=request.seed,
            seconds=request.seconds,
            on_progress=on_progress,
            on_arrangement=on_arrangement,
            on_sketch=on_sketch,
            stop=stopped,
            **others,
        )
    except NoArrangement as none:
        searched = _undecided(str(none)) if none.undecided else _refused(plan, none, request, over)
        cut_short = searched.code == UNDECIDED and over()
        return _cut_short(len(none.tried), request, interrupt) if cut_short else searched
    except BrokenRule as broken:
        message = (
            f"sennit: an error of this program, the search broke a rule: {broken}; please report it with the brief"
        )
        raise Ending(REFUSED, message) from broken
    if outcome.arrangements:
        outcome = replace(outcome, arrangements=tuple(with_nearest(plan, ranked) for ranked in outcome.arrangements))
        return _found(plan, outcome, request, interrupt)
    return _cut_short(outcome.tried, request, interrupt)


def notices(plan: Plan, arrangements: Iterable[Ranked]) -> list[str]:
    """What held notes are excused for, and in which arrangements."""
    from solver.check import excuse_lines

    ranks: dict[str, list[str]] = {}
    for rank, ranked in enumerate(arrangements, start=1):
        for line in excuse_lines(plan, ranked.excused):
            ranks.setdefault(line, []).append(str(rank))
    return [f"excused in {', '.join(of)}: {line}" for line, of in ranks.items()]


def _reasons(source: Source, stopped: Callable[[], bool]) -> Callable[[Callable[[], bool]], Reasons]:
    def make(due: Callable[[], bool]) -> Reasons:
        from solver.search.conflicts.reasons import Reasons

        return Reasons(source, lambda: stopped() or due())

    return make


def _refused(plan: Plan, none: NoArrangement, request: Request, over: Callable[[], bool]) -> Searched:
    from solver.search.conflicts.explaining import explain
    from solver.search.conflicts.wording import explanation_data, explanation_lines

    searched = replace(plan, seed=request.seed)
    explanation = explain(request.source, searched, none, over) if request.source else None
    if explanation is None and not none.tried and not none.every:
        return _undecided(str(none))
    if request.source is None or explanation is None:
        room = "loosen what it asks for or unlock more" if plan.held else "loosen what it asks for"
        return Searched((), REFUSED, (f"cannot be satisfied: {none}; {room}",))
    conflicts = tuple(explanation_data(explanation, request.source, plan))
    because = tuple(explanation_lines(explanation, request.source, plan))
    return Searched((), REFUSED, (f"cannot be satisfied: {none}",), conflicts=conflicts, because=because)


def _found(plan: Plan, outcome: Outcome, request: Request, interrupt: Interrupt) -> Searched:
    found = len(outcome.arrangements)
    compared = [outcome.compared] if outcome.compared else []
    remarks = [*notices(plan, outcome.arrangements), *compared, *outcome.remarks]
    if interrupt.asked:
        remarks.append(f"interrupted: {found} of {request.count} arrangements are done and kept")
    elif found < request.count and not outcome.exhausted:
        remarks.append(f"time is up: {found} of {request.count} arrangements are done")
    if request.seconds is not None:
        remarks.append("with a limit of time the same brief and seed may give others on another day")
    return Searched(outcome.arrangements, INTERRUPTED if interrupt.asked else DONE, tuple(remarks), outcome.compared)


def _cut_short(tried: int, request: Request, interrupt: Interrupt) -> Searched:
    """What is said where the search was ended before it had anything."""
    if interrupt.asked:
        return Searched((), INTERRUPTED, ("interrupted before the first arrangement was found",))
    rhythms = "1 rhythm" if tried == 1 else f"{tried} rhythms"
    if request.seconds is not None:
        return Searched((), UNDECIDED, (f"undecided when time ran out: {rhythms} tried; give it more --time",))
    return _undecided(f"{rhythms} tried")


def _undecided(how_far: str) -> Searched:
    """What the search could not decide though it was not cut short."""
    reason = f"undecided within the search's limit: {how_far}; try another --seed or ask for less"
    return Searched((), UNDECIDED, (reason,))
