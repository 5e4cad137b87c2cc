"""``sennit page``: the local page."""

from __future__ import annotations

from pathlib import Path

import click

from solver.commands.ending import DONE, WRONG, Ending
from solver.commands.values import WholeNumber


@click.command(short_help="Serve the local page: write, solve, hear, lock, compare, export.")
@click.option("--port", type=WholeNumber(1, 65535), metavar="N", help="The port [default: a free one].")
@click.option("--no-browser", is_flag=True, help="Open no browser; the page's address is printed.")
def page(port: int | None, no_browser: bool) -> int:
    """Serve a page for the workspace in the current folder, to this machine alone, and open it in the browser.

    Ctrl-C ends it. A solve that is cut short loses nothing: the next start makes a take of what it had found.
    """
    from solver.page.server import PortTaken, listening, serve

    try:
        opened = listening(port)
    except PortTaken as reason:
        raise Ending(WRONG, f"--port {port}: the port cannot be used ({reason}); name another, or none") from None

    def tell(url: str) -> None:
        click.echo(f"page: {url}")
        click.echo("Ctrl-C ends it.")

    try:
        serve(Path.cwd(), opened, tell, browser=not no_browser)
    except KeyboardInterrupt:
        click.echo("ended", err=True)
    return DONE
