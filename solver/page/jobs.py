"""Jobs of the page: what is being solved, what waits, what is done; and whoever listens hears every change."""

from __future__ import annotations

import asyncio
import itertools
import multiprocessing
import threading
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from solver.arrangement import Ranked
from solver.held import Held
from solver.page.orders import Ended, Found, Order, Progressed, Solve, Stop
from solver.page.refusal import missing
from solver.page.versions import version_of
from solver.page.worker import work

WAITING, RUNNING, DONE, FAILED = "waiting", "running", "done", "failed"
KEPT = 12  # jobs that are remembered after they are over
Event = dict[str, Any]


@dataclass
class Entry:
    """An arrangement of a job: a sketch of the rhythm with that number until it is final, in the same place."""

    ranked: Ranked
    rhythm: int | None

    @property
    def final(self) -> bool:
        """Whether the search is done with its rhythm."""
        return self.rhythm is None


@dataclass
class Job:
    """One job; ``found`` holds its arrangements as they came, ``text`` the brief's text that they belong to,
    ``lines`` what that takes from files."""

    number: int
    order: Order
    state: str = WAITING
    words: str = "waits for the solve before it"
    take: str | None = None
    message: str = ""
    facts: dict[str, Any] = field(default_factory=dict)
    found: list[Entry] = field(default_factory=list)
    text: str = ""
    lines: tuple[Held, ...] = ()
    stopping: bool = False

    @property
    def name(self) -> str:
        """What stands in for the take's name as long as there is none: ``job-3``."""
        return f"job-{self.number}"

    @property
    def over(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in (DONE, FAILED)

    def take_in(self, ranked: Ranked, rhythm: int | None) -> None:
        """Add an arrangement, in the place of the sketch that it grew out of, if there is one."""
        for entry in self.found:
            if not entry.final and (entry.rhythm == rhythm or (rhythm is None and same_rhythm(entry.ranked, ranked))):
                entry.ranked, entry.rhythm = ranked, rhythm
                return
        self.found.append(Entry(ranked, rhythm))

    def ranked(self) -> list[int]:
        """Indices of what was found, best first; what was found earlier comes first where totals are equal.

        Once the job is over, sketches that came to nothing are left out.
        """
        shown = [at for at, entry in enumerate(self.found) if entry.final or not self.over]
        return sorted(shown, key=lambda at: (-self.found[at].ranked.total, at))

    def data(self) -> Event:
        """The job as the page needs it."""
        return {
            "name": self.name,
            "brief": self.order.brief,
            "order": {
                "brief": self.order.brief,
                "take": self.order.parent[0] if self.order.parent else None,
                "number": self.order.parent[1] if self.order.parent else None,
                "locks": self.order.locks,
                "changes": self.order.changes,
                "kind": self.order.kind,
            },
            "state": self.state,
            "words": "stopping, what is done is kept" if self.stopping and not self.over else self.words,
            "take": self.take,
            "message": self.message,
            "found": [self._entry(at) for at in self.ranked()],
            **self.facts,
        }

    def _entry(self, at: int) -> Event:
        ranked = self.found[at].ranked
        return {
            "number": at + 1,
            "total": round(ranked.total, 1),
            "version": version_of(ranked.arrangement),
            "final": self.found[at].final,
        }


def same_rhythm(one: Ranked, other: Ranked) -> bool:
    """Whether two arrangements start their notes at the same times."""
    return [(note.part, note.onset) for note in one.arrangement.notes] == [
        (note.part, note.onset) for note in other.arrangement.notes
    ]


class Jobs:
    """All jobs, and the process that does them one after the other. May be used from any thread."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._lock = threading.RLock()
        self._numbers = itertools.count(1)
        self._jobs: dict[int, Job] = {}
        self._listeners: list[tuple[asyncio.AbstractEventLoop, asyncio.Queue[Event | None]]] = []
        self._connection: Connection | None = None
        self._process: Any = None
        self._closed = False

    def start(self) -> None:
        """Start the process that solves, if it does not run."""
        with self._lock:
            if self._closed or (self._process is not None and self._process.is_alive()):
                return
            context = multiprocessing.get_context("spawn")
            self._connection, theirs = context.Pipe()
            self._process = context.Process(target=work, args=(theirs, self._root), daemon=True)
            self._process.start()
            theirs.close()
            threading.Thread(target=self._hear, args=(self._connection,), daemon=True).start()

    def close(self) -> None:
        """End the process where it stands and let listeners go."""
        with self._lock:
            self._closed = True
            for loop, events in self._listeners:
                _hand_over(loop, events, None)
            process, self._process = self._process, None
        if process is not None:
            process.terminate()
            process.join(5)

    def submit(self, order: Order, *, replace: bool = False) -> Job:
        """Add a job behind those that wait, or in place of all of them: those are stopped, what they found is kept."""
        with self._lock:
            if replace:
                for job in self.running():
                    self.stop(job.name)
            job = Job(next(self._numbers), order)
            self._jobs[job.number] = job
            self._forget()
            self.start()
            self._begin_next()
            self._tell(job)
            return job

    def stop(self, name: str) -> None:
        """Let a job end with what it has. Raises Refusal where there is no such job."""
        with self._lock:
            job = self.job(name)
            if job.over or job.stopping:
                return
            job.stopping = True
            if job.state == WAITING:
                job.state, job.message = FAILED, "stopped before it began"
            elif self._connection is not None:
                self._connection.send(Stop(job.number))
            self._tell(job)

    def job(self, name: str) -> Job:
        """The job of that name. Raises Refusal where there is none."""
        number = name.removeprefix("job-")
        with self._lock:
            if not number.isdecimal() or len(number) > 9 or int(number) not in self._jobs:
                raise missing(f"solve {name[:40]!r}")
            return self._jobs[int(number)]

    def running(self) -> list[Job]:
        """Jobs that are not over, in their order."""
        with self._lock:
            return [job for job in self._jobs.values() if not job.over]

    def data(self) -> list[Event]:
        """All jobs as the page needs them."""
        with self._lock:
            return [job.data() for job in self._jobs.values()]

    async def events(self) -> AsyncIterator[Event]:
        """Every change of a job from now on, until the server ends."""
        events: asyncio.Queue[Event | None] = asyncio.Queue()
        listener = (asyncio.get_running_loop(), events)
        with self._lock:
            if self._closed:
                return
            self._listeners.append(listener)
        try:
            while (event := await events.get()) is not None:
                yield event
        finally:
            with self._lock:
                self._listeners.remove(listener)

    def _hear(self, connection: Connection) -> None:
        """What the process says, until it is gone."""
        while True:
            try:
                message = connection.recv()
            except (EOFError, OSError):
                break
            with self._lock:
                self._note(message)
        with self._lock:
            if self._closed or connection is not self._connection:
                return
            for job in self.running():
                if job.state == RUNNING:
                    job.state, job.message = FAILED, "the solving process ended; what it had found is kept as a take"
                    self._tell(job)
            self._process = None
            self._begin_next()

    def _note(self, message: Any) -> None:
        job = self._jobs.get(getattr(message, "job", 0))
        if job is None:
            return
        if isinstance(message, Progressed):
            job.words = message.words
        elif isinstance(message, Found):
            job.take_in(message.ranked, message.rhythm)
            job.text, job.lines = message.text, message.lines
        elif isinstance(message, Ended):
            job.state = DONE if message.take else FAILED
            job.take, job.message, job.facts = message.take, message.message, message.facts
            self._begin_next()
        self._tell(job)

    def _begin_next(self) -> None:
        waiting = self.running()
        if not waiting or waiting[0].state != WAITING:
            return
        self.start()
        if self._connection is not None:
            job = waiting[0]
            job.state, job.words = RUNNING, "counting out the rhythms"
            self._connection.send(Solve(job.number, job.order))
            self._tell(job)

    def _forget(self) -> None:
        over = [number for number, job in self._jobs.items() if job.over]
        for number in over[: max(0, len(over) - KEPT)]:
            del self._jobs[number]

    def _tell(self, job: Job) -> None:
        for loop, events in self._listeners:
            _hand_over(loop, events, job.data())


def _hand_over(loop: asyncio.AbstractEventLoop, events: asyncio.Queue[Event | None], event: Event | None) -> None:
    if not loop.is_closed():
        loop.call_soon_threadsafe(events.put_nowait, event)
