"""``sennit rework``: keeps what is locked of an arrangement, solves the rest anew, and writes the next take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from solver.commands.arrange import LARGEST_SEED, MOST, fill, takes_name, time_to_wait
from solver.commands.avoiding import AVOID_HELP, AVOIDED, avoided_files
from solver.commands.ending import WRONG, Ending, input_errors
from solver.commands.values import NamedPath, WholeNumber

if TYPE_CHECKING:
    from solver.arrangement import Arrangement
    from solver.commands.interrupt import Interrupt
    from solver.rework import Job, Origin, Wish

DEFAULT_OUT = Path("out")


@click.command(short_help="Keep what is locked of an arrangement and solve the rest anew.")
@click.argument("source", metavar="TAKE", type=NamedPath("out/ferry-lights/take-001"))
@click.option("--from", "number", type=WholeNumber(1), metavar="N", help="Arrangement to rework [default: 1].")
@click.option("--lock", "locks", multiple=True, metavar="PART[:BARS][:ASPECT]", help="What stays; may be repeated.")
@click.option("--change", "changes", multiple=True, metavar='"KEY = VALUE"', help="What changes in the brief.")
@click.option("--like", type=WholeNumber(1), metavar="N", help="Stay near arrangement N.")
@click.option("--unlike", is_flag=True, help="Keep far from all seen in this brief's takes.")
@click.option("--from-midi", "midi", type=NamedPath("edited.mid"), metavar="FILE", help="Rework a MIDI file.")
@click.option("--out", type=NamedPath("out"), metavar="DIR", help="Where takes go: beside TAKE.")
@click.option("--count", "--more", "count", type=WholeNumber(1, MOST), metavar="N", help="Arrangements to look for.")
@click.option("--seed", type=WholeNumber(0, LARGEST_SEED), metavar="N", help="Another seed, other arrangements.")
@click.option("--time", "seconds", callback=time_to_wait, metavar="SECONDS", help="Search no longer.")
@click.option("--avoid", "avoid", multiple=True, type=AVOIDED, metavar="FILE", help=AVOID_HELP)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def rework(
    source: Path,
    number: int | None,
    locks: tuple[str, ...],
    changes: tuple[str, ...],
    like: int | None,
    unlike: bool,
    midi: Path | None,
    out: Path | None,
    count: int | None,
    seed: int | None,
    seconds: float | None,
    avoid: tuple[Path, ...],
    as_json: bool,
) -> int:
    """Keep what is locked of arrangement N of TAKE, solve the rest anew, and write the next take beside it.

    A lock names a part, bars of it (low:1-4, low:8), one aspect (lead:rhythm, lead:pitch), or both (lead:5-8:pitch).
    What is not locked differs from the arrangement it came from. With --from-midi, TAKE is a brief.
    """
    from solver.commands.cut_short import KEPT, complete
    from solver.commands.interrupt import Interrupt
    from solver.locks import LockFaults
    from solver.music.faults import Fault
    from solver.rework import Wish, prepare
    from solver.study.references import takes_beside

    if sum((number is not None, like is not None, midi is not None)) > 1 or (like is not None and unlike):
        raise click.UsageError("--from, --like and --from-midi exclude each other, and so do --like and --unlike")
    with Interrupt(KEPT) as interrupt, input_errors():
        origin, folder, remarks = _origin(source, like or number or 1, midi, out)
        complete(folder)
        beside = source.parent if source.is_dir() else source.parent.parent
        seen, files = _seen(folder) if unlike else (), avoided_files(avoid)
        takes, gone = takes_beside(beside, origin.avoided_takes)
        wish = Wish(locks, changes, like is not None, unlike, seen, count, seed, seconds, files, takes)
        try:
            job = prepare(origin, wish)
        except LockFaults as wrong:
            raise Ending(WRONG, "\n".join(f"{source}: {fault}" for fault in wrong.faults)) from None
        except Fault as fault:
            raise Ending(WRONG, f"{source}: {fault}") from None
        return _solve(source, folder, job, wish, interrupt, (*remarks, *gone), as_json)


def _origin(source: Path, number: int, midi: Path | None, out: Path | None) -> tuple[Origin, Path, tuple[str, ...]]:
    """The arrangement to begin with, the folder for the new take, and what to say about the reading."""
    from solver.brief.planning import plan_from
    from solver.brief.reader import read_brief
    from solver.rework import Origin, from_take
    from solver.take import read_take

    if midi is None:
        take = read_take(source)
        origin = from_take(take, number)
        return origin, (out / origin.brief_name if out else take.folder.parent), ()
    from solver.export.midi_reading import read_midi

    brief = read_brief(source)
    plan = plan_from(brief)
    reading = read_midi(midi, plan)
    found = reading.arrangement
    known = {"references": plan.avoid.sources, "lines": plan.held}
    origin = Origin(brief.name, brief.text, None, found, midi=midi.name, **known)
    return origin, (out or DEFAULT_OUT) / takes_name(brief), tuple(f"{midi}: {remark}" for remark in reading.remarks)


def _seen(folder: Path) -> tuple[Arrangement, ...]:
    from solver.take import list_takes, read_take

    return tuple(ranked.arrangement for path in list_takes(folder) for ranked in read_take(path).arrangements)


def _solve(
    source: Path, folder: Path, job: Job, wish: Wish, interrupt: Interrupt, read: tuple[str, ...], as_json: bool
) -> int:
    from solver.brief.source import source_of
    from solver.commands.printing import print_json
    from solver.commands.results import print_results, result_data
    from solver.commands.searching import Request
    from solver.take import open_take, read_take

    brief = source_of(job.header.brief_text, job.header.brief_name)
    request = Request(job.count, job.seed, job.seconds, job.variety, job.rhythms, source=brief)
    with open_take(folder, job.header, job.plan) as take:
        searched, made = fill(job.plan, take, request, interrupt)
    searched = searched.remarking(read)
    sound = read_take(made).sound if made else None
    distances = [job.distance(ranked.arrangement) for ranked in searched.arrangements]
    if as_json:
        rows = result_data(searched.arrangements, made) if made else []
        rows = [{**row, "distance": round(far, 4)} for row, far in zip(rows, distances, strict=True)]
        facts = {"source": str(source), "locks": wish.locks, "changes": wish.changes, "seed": request.seed}
        facts |= {"asked": request.count, "remarks": searched.remarks, "conflicts": searched.conflicts}
        print_json({"take": str(made) if made else None, **facts, "sound": sound, "arrangements": rows})
    elif made and sound:
        print_results(searched.arrangements, made, sound, searched.remarks, distances)
    if not made:
        raise Ending(searched.code, f"{source}: {searched.refusal}")
    return searched.code
