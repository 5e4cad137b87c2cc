"""Serving the page: a socket on 127.0.0.1, the application, the browser."""

from __future__ import annotations

import asyncio
import logging
import secrets
import socket
import threading
from collections.abc import Callable
from pathlib import Path

ADDRESS = "127.0.0.1"
USUAL_PORT = 8734
PATIENCE = 1  # seconds that open connections are given when the server ends


class PortTaken(Exception):
    """The port that was asked for cannot be used; the message says why."""


def listening(port: int | None) -> socket.socket:
    """A socket that listens on 127.0.0.1: on the port asked for, else on the usual one, else on any that is free.

    Raises PortTaken where the port that was asked for cannot be used.
    """
    reason = ""
    for wanted in (port,) if port is not None else (USUAL_PORT, 0):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((ADDRESS, wanted or 0))
            return found
        except OSError as error:
            found.close()
            reason = error.strerror or str(error)
    raise PortTaken(reason.lower())


def serve(root: Path, opened: socket.socket, tell: Callable[[str], None], *, browser: bool) -> None:
    """Serve a workspace until Ctrl-C. ``tell`` is told the page's address as soon as it answers."""
    import uvicorn

    from solver.page.app import page_app

    port = opened.getsockname()[1]
    url = f"http://{ADDRESS}:{port}/"
    app = page_app(root, port, secrets.token_urlsafe(24))
    # The plainest of each kind: looking for faster ones costs more time than a page for one person would gain.
    config = uvicorn.Config(
        app,
        loop="asyncio",
        http="h11",
        ws="none",
        lifespan="on",
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=PATIENCE,
        server_header=False,
    )
    logging.getLogger("uvicorn.error").addFilter(_is_error)
    opened.listen()
    tell(url)
    if browser:
        threading.Thread(target=_open, args=(url,), daemon=True).start()
    uvicorn.Server(config).run(sockets=[opened])


def _open(url: str) -> None:
    import webbrowser

    webbrowser.open(url)


def _is_error(record: logging.LogRecord) -> bool:
    """Whether a line of the log tells of one: that a page still asked for something when the server ended is none."""
    kind = record.exc_info[0] if record.exc_info else None
    return not (kind and issubclass(kind, asyncio.CancelledError)) and "graceful shutdown" not in record.getMessage()
