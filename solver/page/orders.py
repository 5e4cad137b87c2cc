"""What the server and its solving process say to each other."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from solver.arrangement import Ranked
from solver.held import Held


@dataclass(frozen=True)
class Order:
    """What is to be solved: a brief by its name, as it stands in the workspace; with a parent, a rework of it."""

    brief: str
    count: int | None = None
    seed: int | None = None
    parent: tuple[str, int] | None = None  # take and number of the arrangement that is reworked
    locks: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()  # of the brief, each key = value
    kind: str = "rest"  # rest, like or unlike


@dataclass(frozen=True)
class Solve:
    """To the process: begin a job."""

    job: int
    order: Order


@dataclass(frozen=True)
class Stop:
    """To the process: end a job with what it has."""

    job: int


@dataclass(frozen=True)
class Ready:
    """From the process: it has imported what it needs."""


@dataclass(frozen=True)
class Progressed:
    """From the process: how far a job is, in words, and how many arrangements it has."""

    job: int
    words: str


@dataclass(frozen=True)
class Found:
    """From the process: an arrangement; ``text`` is the brief that it belongs to, ``lines`` what that takes from files.

    A sketch, valid but perhaps not yet the best of its rhythm, comes with that rhythm's number; what is final without.
    """

    job: int
    ranked: Ranked
    text: str
    rhythm: int | None = None
    lines: tuple[Held, ...] = ()


@dataclass(frozen=True)
class Ended:
    """From the process: a job is over. ``take`` is the take's name where one was written, ``message`` why not or what
    else there is to say; ``facts`` go to the page as they are."""

    job: int
    take: str | None
    message: str = ""
    facts: dict[str, Any] = field(default_factory=dict)
