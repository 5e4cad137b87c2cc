"""What a command that was cut short had found becomes a take."""

from __future__ import annotations

from pathlib import Path

import click

KEPT = "the next arrange, rework or takes of this brief makes a take of what was found"


def complete(folder: Path) -> None:
    """Complete the takes in the folder of a brief's takes, and say which. Raises TakeError where they cannot be."""
    from solver.take import complete_unfinished

    for completed in complete_unfinished(folder, lambda remark: click.echo(remark, err=True)):
        click.echo(f"{completed}: completed from a command that was cut short", err=True)
