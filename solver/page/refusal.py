"""What a request is answered with where it cannot be done."""

from __future__ import annotations

from typing import Any


class Refusal(Exception):
    """A request that cannot be done: an HTTP status, one sentence, and further facts for the page."""

    def __init__(self, status: int, message: str, **facts: Any) -> None:
        super().__init__(message)
        self.status, self.message, self.facts = status, message, facts


def missing(what: str) -> Refusal:
    """Something that is not there (any more)."""
    return Refusal(404, f"there is no {what}; it may have been moved or renamed")
