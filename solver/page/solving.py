"""Solving one job: the same search and the same takes as the command line's, told to the page as it goes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from solver.arrangement import Ranked
from solver.brief.errors import BriefErrors
from solver.commands.ending import UNDECIDED, Ending
from solver.commands.interrupt import Interrupt
from solver.commands.progress import ProgressLine
from solver.commands.searching import Request, Searched, search
from solver.page.orders import Ended, Found, Order, Progressed
from solver.page.paths import Workspace
from solver.page.refusal import Refusal
from solver.search.pool import Progress

Tell = Callable[[Any], None]


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


def solve(root: Path, job: int, order: Order, stopping: Callable[[], bool], tell: Tell) -> None:
    """Solve, write the take, and tell all of it. Raises Refusal where the brief cannot be solved."""
    from solver.brief.planning import plan_from
    from solver.brief.reader import read_brief
    from solver.commands.avoiding import clear_of_takes
    from solver.take import TakeError, TakeHeader, complete_unfinished, list_takes, open_take

    workspace = Workspace(root)
    try:
        source = read_brief(workspace.brief(order.brief))
        plan = plan_from(source)
    except BriefErrors as errors:
        raise Refusal(422, "the brief has errors; put them right first", wrong=str(errors.errors[0].wrong)) from None
    folder = workspace.takes(order.brief)
    complete_unfinished(folder)
    request = Request(order.count or plan.count, plan.seed if order.seed is None else order.seed)
    line = ProgressLine(request.count, stopping)

    def progressed(progress: Progress) -> None:
        line.search(progress)
        tell(Progressed(job, str(line)))

    def writing(done: int, of: int) -> None:
        line.writing(done, of)
        tell(Progressed(job, str(line)))

    takes = list_takes(folder) if source.brief.avoid_takes else []
    try:
        plan = clear_of_takes(plan, takes)
    except TakeError as error:
        raise Refusal(422, str(error)) from None
    avoided = tuple(take.name for take in takes)
    header = TakeHeader(source.name, source.text, request.seed, {"count": order.count}, avoided_takes=avoided)
    with open_take(folder, header, plan) as take:

        def keep(ranked: Ranked) -> None:
            take.add(ranked)
            tell(Found(job, ranked, source.text))

        def sketch(rhythm: int, ranked: Ranked) -> None:
            take.sketch(rhythm, ranked)
            tell(Found(job, ranked, source.text, rhythm))

        try:
            searched = search(plan, request, _Asked(stopping), progressed, keep, sketch)
        except Ending as end:
            raise Refusal(500, str(end)) from end
        if not searched.arrangements:
            raise _nothing(searched)
        line.words = "writing the take"
        tell(Progressed(job, str(line)))
        made = take.finish(list(searched.arrangements), writing)
    tell(Ended(job, made.name, "; ".join(searched.remarks)))


def _nothing(searched: Searched) -> Refusal:
    if searched.code == UNDECIDED:
        return Refusal(409, "undecided within the search's limit; try another seed, or ask for less")
    return Refusal(409, searched.remarks[0])
