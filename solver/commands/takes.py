"""``sennit takes``: the family tree of a brief's takes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from solver.commands.arrange import takes_name
from solver.commands.ending import DONE, WRONG, Ending, input_errors
from solver.commands.printing import print_json, print_line
from solver.commands.values import NamedPath

if TYPE_CHECKING:
    from solver.take import Take


@click.command(short_help="Show the family tree of a brief's takes.")
@click.argument("brief", type=NamedPath("briefs/ferry-lights.toml"))
@click.option("--out", type=NamedPath("out"), metavar="DIR", default=Path("out"), help="Where takes are: out.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def takes(brief: Path, out: Path, as_json: bool) -> int:
    """Show which take of BRIEF came from which, what was locked, and what was changed."""
    from solver.brief.reader import read_brief
    from solver.commands.cut_short import complete
    from solver.take import TakeError, list_takes, read_take

    with input_errors():
        folder = out / takes_name(read_brief(brief))
        complete(folder)
    found: list[Take] = []
    paths = list_takes(folder)
    for path in paths:
        try:
            found.append(read_take(path))
        except TakeError as error:
            click.echo(str(error), err=True)
    if paths and not found:
        raise Ending(WRONG, f"{folder}: none of its takes can be read; make one with sennit arrange {brief}")
    if not found:
        raise Ending(WRONG, f"{folder}: there are no takes of {brief}; make one with sennit arrange {brief}")
    if as_json:
        print_json({"brief": str(brief), "folder": str(folder), "takes": [_data(take) for take in found]})
        return DONE
    print_line(f"{folder}")
    for line in tree_lines(found):
        print_line(line)
    return DONE


def tree_lines(takes: list[Take], parent: str | None = None, indent: str = "") -> list[str]:
    """A line a take, each below the take that it came from."""
    order = {take.name: place for place, take in enumerate(takes)}
    children = [take for take in takes if _parent(take, order) == parent]
    lines: list[str] = []
    for take in children:
        last = take is children[-1]
        lines.append(f"{indent}{'└── ' if last else '├── '}{_words(take)}")
        lines += tree_lines(takes, take.name, indent + ("    " if last else "│   "))
    return lines


def _parent(take: Take, order: dict[str, int]) -> str | None:
    """The take that it came from, as long as that one is there; a take comes before all that is made from it."""
    parent = take.header.parent
    return parent.take if parent and order.get(parent.take, len(order)) < order[take.name] else None


def _words(take: Take) -> str:
    header, count = take.header, len(take.arrangements)
    words = [f"{take.name}: {count} arrangement{'' if count == 1 else 's'}, best {take.arrangements[0].total:.1f}"]
    if header.parent:
        words.append(f"from {header.parent.arrangement} of {header.parent.take}")
    if header.options.get("from"):
        words.append(f"from {header.options['from']}")
    words += [f"locked {', '.join(header.locks)}"] if header.locks else []
    words += [f"changed {', '.join(header.changes)}"] if header.changes else []
    words += [name for name in ("like", "unlike") if header.options.get(name)]
    words += [f"seed {header.seed}"]
    return "; ".join(words)


def _data(take: Take) -> dict[str, Any]:
    header = take.header
    return {
        "take": take.name,
        "parent": {"take": header.parent.take, "arrangement": header.parent.arrangement} if header.parent else None,
        "locks": list(header.locks),
        "changes": list(header.changes),
        "seed": header.seed,
        "options": header.options,
        "totals": [ranked.total for ranked in take.arrangements],
        "excused": [len(ranked.excused) for ranked in take.arrangements],
    }
