"""``sennit arrange``: solves a brief and writes the next take."""

from __future__ import annotations

import math
import os
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from solver.commands.avoiding import AVOID_HELP, AVOIDED, avoided_files
from solver.commands.ending import WRONG, Ending, input_errors
from solver.commands.values import NamedPath, WholeNumber, visible

if TYPE_CHECKING:
    from solver.brief.plan import Plan
    from solver.brief.source import Source
    from solver.commands.interrupt import Interrupt
    from solver.commands.searching import Request, Searched
    from solver.search.outcome import Progress
    from solver.take import OpenTake

MOST = 100  # arrangements, as in a brief
MOST_RHYTHMS = 10_000
LARGEST_SEED = 2**31 - 1
NO_NAMES = ("", ".", "..")


def time_to_wait(context: click.Context, parameter: click.Parameter, value: str | None) -> float | None:
    """The seconds given to ``--time``. Raises BadParameter where they are none."""
    if value is None:
        return None
    try:
        seconds = float(value)
    except ValueError:
        seconds = math.nan
    if not (math.isfinite(seconds) and seconds > 0):
        raise click.BadParameter(f"{visible(value)} is no time to wait; write seconds above 0, such as 20")
    return seconds


@click.command(short_help="Solve a brief and write the next take.")
@click.argument("brief", type=NamedPath("briefs/ferry-lights.toml"))
@click.option("--out", type=NamedPath("out"), metavar="DIR", default=Path("out"), help="Where takes go: out.")
@click.option("--count", type=WholeNumber(1, MOST), metavar="N", help="Arrangements to look for.")
@click.option("--seed", type=WholeNumber(0, LARGEST_SEED), metavar="N", help="Another seed, other arrangements.")
@click.option("--rhythms", type=WholeNumber(1, MOST_RHYTHMS), metavar="N", help="Compare N rhythms, keep the best.")
@click.option("--time", "seconds", callback=time_to_wait, metavar="SECONDS", help="Search no longer.")
@click.option("--avoid", "avoid", multiple=True, type=AVOIDED, metavar="FILE", help=AVOID_HELP)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def arrange(
    brief: Path,
    out: Path,
    count: int | None,
    seed: int | None,
    rhythms: int | None,
    seconds: float | None,
    avoid: tuple[Path, ...],
    as_json: bool,
) -> int:
    """Solve BRIEF and write the next take, best arrangement first: DIR/NAME/take-001 and on.

    Ctrl-C keeps what is done. Fewer arrangements than asked for, where no more exist, is said and is no error. The
    same brief, seed and version give the same bytes, unless --time cuts the search short. With --rhythms it takes
    longer, and says how good the first arrangement is among all that the rhythms allow.
    """
    from solver.brief.planning import plan_from
    from solver.brief.reader import read_brief
    from solver.commands.cut_short import KEPT, complete
    from solver.commands.interrupt import Interrupt
    from solver.commands.printing import print_json
    from solver.commands.results import print_results, result_data
    from solver.commands.searching import Request
    from solver.study.references import avoided_takes, clear_of
    from solver.take import TakeHeader, list_takes, open_take, read_take

    with Interrupt(KEPT) as interrupt, input_errors():
        source = read_brief(brief)
        plan = plan_from(source)
        folder = out / takes_name(source)
        complete(folder)
        plan = clear_of(plan, avoided_files(avoid))
        references, lines = plan.avoid.sources, plan.held
        takes = list_takes(folder) if source.brief.avoid_takes else []
        plan = clear_of(plan, avoided_takes(takes))
        seed = plan.seed if seed is None else seed
        request = Request(count or plan.count, seed, seconds, compared=rhythms, source=source)
        options = {"count": count, "time": seconds, **({"rhythms": rhythms} if rhythms else {})}
        header = TakeHeader(
            source.name,
            source.text,
            request.seed,
            options,
            references=references,
            avoided_takes=tuple(take.name for take in takes),
            lines=lines,
        )
        with open_take(folder, header, plan) as take:
            searched, made = fill(plan, take, request, interrupt)
        sound = read_take(made).sound if made else None
        if as_json:
            facts = {"brief": str(brief), "seed": request.seed, "asked": request.count, "remarks": searched.remarks}
            facts |= {"conflicts": searched.conflicts}
            results = result_data(searched.arrangements, made) if made else []
            print_json({"take": str(made) if made else None, **facts, "sound": sound, "arrangements": results})
        elif made and sound:
            print_results(searched.arrangements, made, sound, searched.remarks)
        if not made:
            raise Ending(searched.code, f"{brief}: {searched.refusal}")
        return searched.code


def takes_name(source: Source) -> str:
    """The folder's name for a brief's takes. Raises Ending where the file's name cannot give one."""
    if source.name in NO_NAMES:
        raise Ending(WRONG, f"{source.path}: takes cannot be kept under this name; rename the file to NAME.toml")
    return source.name


def fill(plan: Plan, take: OpenTake, request: Request, interrupt: Interrupt) -> tuple[Searched, Path | None]:
    """Search, and finish the take with what is found; None where nothing is."""
    from solver.commands.progress import ProgressLine, shown
    from solver.commands.searching import search

    deadline = None if request.seconds is None else time.monotonic() + request.seconds
    line = ProgressLine(request.count, interrupt, deadline)
    with shown(line):

        def show(progress: Progress) -> None:
            line.search(progress)
            if progress.found and progress.open < (os.cpu_count() or 1):
                take.render_ahead()

        searched = search(plan, request, interrupt, show, take.add, take.sketch)
        if not searched.arrangements:
            return searched, None
        return searched, take.finish(list(searched.arrangements), line.writing, searched.compared)
