"""The process that solves: one job after the other, so that the server itself always answers at once.

It is started with the server and imports what it needs before the first job. When the server dies, however it dies,
the connection closes and this process ends where it stands: what was found is on disk, and the next start makes a take
of it.
"""

from __future__ import annotations

import os
import queue
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from solver.page.freed_memory import give_back, use_one_arena
from solver.page.orders import Ended, Order, Ready, Solve, Stop

NICE = 5  # the server and the browser, which plays, come first
NEEDED = (
    "solver.page.solving",
    "solver.search.pool",
    "solver.brief.schema",
    "solver.brief.reader",
    "solver.study.nearest",
    "solver.takes.validation",
    "solver.export.picture",
    "filelock",
)


def work(connection: Connection, root: Path) -> None:
    """Do jobs for ever. Runs in a process of its own."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches the whole terminal; the server decides
    if hasattr(os, "nice"):
        os.nice(NICE)
    use_one_arena()
    orders: queue.Queue[Solve] = queue.Queue()
    stopped: set[int] = set()
    threading.Thread(target=_listen, args=(connection, orders, stopped), daemon=True).start()
    tell = _teller(connection)
    _import_all()
    tell(Ready())
    while True:
        asked = orders.get()
        if asked.job in stopped:
            tell(Ended(asked.job, None, "stopped before it began"))
            continue
        _do(root, asked.job, asked.order, lambda job=asked.job: job in stopped, tell)


def _do(root: Path, job: int, order: Order, stopping: Callable[[], bool], tell: Callable[[Any], None]) -> None:
    from solver.page.refusal import Refusal
    from solver.page.solving import solve

    try:
        solve(root, job, order, stopping, tell)
    except Refusal as refusal:
        tell(Ended(job, None, refusal.message, refusal.facts))
    except Exception as problem:  # of any kind: the next job must not suffer from it
        import traceback

        traceback.print_exc()
        tell(Ended(job, None, f"an error of this program: {problem}; please report it with the brief"))
    give_back()


def _listen(connection: Connection, orders: queue.Queue[Solve], stopped: set[int]) -> None:
    while True:
        try:
            message = connection.recv()
        except (EOFError, OSError):
            os._exit(0)
        if isinstance(message, Stop):
            stopped.add(message.job)
        else:
            orders.put(message)


def _teller(connection: Connection) -> Callable[[Any], None]:
    """A way to send that several threads may use."""
    lock = threading.Lock()

    def tell(message: Any) -> None:
        with lock:
            try:
                connection.send(message)
            except (BrokenPipeError, OSError):
                os._exit(0)

    return tell


def _import_all() -> None:
    import importlib

    from solver.export.sound.slow_imports import MODULES

    for name in (*NEEDED, *MODULES):
        importlib.import_module(name)
