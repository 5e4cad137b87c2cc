"""``sennit start``: a new workspace."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from solver.commands.ending import WRONG, Ending
from solver.commands.values import NamedPath


@click.command(short_help="Lay out a new workspace.")
@click.argument("folder", metavar="DIR", type=NamedPath("pier-four"))
def start(folder: Path) -> None:
    """Lay out a workspace in DIR: example briefs, the tables to edit, and room for takes. Overwrites nothing."""
    from solver.workspace import WorkspaceError, start_workspace

    try:
        start_workspace(folder)
    except WorkspaceError as error:
        raise Ending(WRONG, str(error)) from error
    click.echo(f"{folder}: laid out; next: cd {shlex.quote(str(folder))} && sennit arrange briefs/ferry-lights.toml")
