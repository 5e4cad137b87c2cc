"""Solving one job: the same search and the same takes as the command line's, told to the page as it goes."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from solver.arrangement import Ranked
from solver.brief.errors import BriefErrors
from solver.brief.plan import Plan
from solver.commands.ending import UNDECIDED, Ending
from solver.commands.interrupt import Interrupt
from solver.commands.progress import ProgressLine
from solver.commands.searching import Request, Searched, search
from solver.locks import LockFaults
from solver.music.faults import Fault
from solver.page.orders import Ended, Found, Order, Progressed
from solver.page.paths import Workspace
from solver.page.refusal import Refusal
from solver.search.outcome import Progress
from solver.takes.record import TakeError, TakeHeader

Tell = Callable[[Any], None]
LIKE, UNLIKE = "like", "unlike"


class _Asked(Interrupt):
    """An interrupt that somebody else asks for."""

    def __init__(self, stopping: Callable[[], bool]) -> None:
        super().__init__()
        self._stopping = stopping

    @property
    def asked(self) -> bool:  # pyright: ignore[reportIncompatibleVariableOverride]
        """Whether to stop."""
        return self._stopping()

    @asked.setter
    def asked(self, value: bool) -> None:
        """Set by nobody: the question is asked anew each time."""


@dataclass(frozen=True)
class _Task:
    """What is to be searched, what the take will say of it, and what there is to say before."""

    plan: Plan
    header: TakeHeader
    request: Request
    remarks: tuple[str, ...] = ()


def solve(root: Path, job: int, order: Order, stopping: Callable[[], bool], tell: Tell) -> None:
    """Solve, write the take, and tell all of it. Raises Refusal where that cannot be done."""
    from solver.take import complete_unfinished, open_take

    workspace = Workspace(root)
    folder = workspace.takes(order.brief)
    complete_unfinished(folder)
    try:
        task = _rework(workspace, order) if order.parent else _first(workspace, order)
    except BriefErrors as errors:
        raise Refusal(422, f"the brief cannot be read: {_whole(errors)}") from None
    except LockFaults as wrong:
        raise Refusal(422, ". ".join(map(str, wrong.faults))) from None
    except (TakeError, Fault, Ending) as error:
        raise Refusal(422, str(error)) from None
    line = ProgressLine(task.request.count, stopping)

    def progressed(progress: Progress) -> None:
        line.search(progress)
        tell(Progressed(job, str(line)))
        if progress.found and progress.open < (os.cpu_count() or 1):
            take.render_ahead()

    def writing(done: int, of: int) -> None:
        line.writing(done, of)
        tell(Progressed(job, str(line)))

    text, lines = task.header.brief_text, task.header.lines
    with open_take(folder, task.header, task.plan) as take:

        def keep(ranked: Ranked) -> None:
            take.add(ranked)
            tell(Found(job, ranked, text, lines=lines))

        def sketch(rhythm: int, ranked: Ranked) -> None:
            take.sketch(rhythm, ranked)
            tell(Found(job, ranked, text, rhythm, lines))

        try:
            searched = search(task.plan, task.request, _Asked(stopping), progressed, keep, sketch)
        except Ending as end:
            raise Refusal(500, str(end)) from end
        if not searched.arrangements:
            raise _nothing(searched.remarking(task.remarks))
        line.words = "writing the take"
        tell(Progressed(job, str(line)))
        made = take.finish(list(searched.arrangements), writing)
    remarks = [*task.remarks, *searched.remarks]
    tell(Ended(job, made.name, "; ".join(remarks)))


def _first(workspace: Workspace, order: Order) -> _Task:
    """The brief as it stands."""
    from solver.brief.planning import plan_from
    from solver.brief.reader import read_brief
    from solver.study.references import avoided_takes, clear_of
    from solver.take import list_takes

    source = read_brief(workspace.brief(order.brief))
    plan = plan_from(source)
    references, lines = plan.avoid.sources, plan.held
    takes = list_takes(workspace.takes(order.brief)) if source.brief.avoid_takes else []
    plan = clear_of(plan, avoided_takes(takes))
    request = Request(order.count or plan.count, plan.seed if order.seed is None else order.seed, source=source)
    header = TakeHeader(
        source.name,
        source.text,
        request.seed,
        {"count": order.count},
        references=references,
        avoided_takes=tuple(take.name for take in takes),
        lines=lines,
    )
    return _Task(plan, header, request)


def _rework(workspace: Workspace, order: Order) -> _Task:
    """An arrangement of a take, of which something stays."""
    from solver.brief.source import source_of
    from solver.rework import Wish, from_take, prepare
    from solver.study.references import takes_beside
    from solver.take import list_takes, read_take

    assert order.parent is not None
    name, number = order.parent
    origin = from_take(read_take(workspace.take(order.brief, name)), number)
    takes = list_takes(workspace.takes(order.brief)) if order.kind == UNLIKE else []
    seen = tuple(ranked.arrangement for folder in takes for ranked in read_take(folder).arrangements)
    like, unlike = order.kind == LIKE, order.kind == UNLIKE
    clear, gone = takes_beside(workspace.takes(order.brief), origin.avoided_takes)
    wish = Wish(order.locks, order.changes, like, unlike, seen, order.count, order.seed, avoid_takes=clear)
    job = prepare(origin, wish)
    source = source_of(job.header.brief_text, job.header.brief_name)
    request = Request(job.count, job.seed, job.seconds, job.variety, job.rhythms, source=source)
    return _Task(job.plan, job.header, request, gone)


def _nothing(searched: Searched) -> Refusal:
    reason, *others = searched.remarks
    if searched.code == UNDECIDED:
        reason = "undecided within the search's limit; try another seed, or ask for less"
    return Refusal(409, ". ".join((reason, *others)), conflicts=list(searched.conflicts))


def _whole(errors: BriefErrors) -> str:
    """All of a brief's errors in a row."""
    return ". ".join(f"line {error.line or 1}: {error.wrong}; {error.right}" for error in errors.errors)
