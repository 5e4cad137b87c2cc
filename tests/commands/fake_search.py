"""A search that finds what a test wants, in place of the pool."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from solver.arrangement import Ranked
from solver.brief.plan import Plan
from solver.search.outcome import Outcome, Progress
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS

NAME = "one-rope"


def write_brief(folder: Path, name: str = NAME, text: str = TEXTS[NAME]) -> Path:
    """A brief of one bar and one part, in a file."""
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@dataclass
class FakeSearch:
    """Has the pool's ``arrange``; finds ``found`` arrangements, then raises ``ends`` or returns."""

    found: int = 2
    ends: Exception | None = None
    exhausted: bool = False
    remarks: tuple[str, ...] = ()
    during: Callable[[], None] = lambda: None
    asked: list[dict[str, Any]] = field(default_factory=list)

    def __call__(
        self,
        plan: Plan,
        *,
        on_progress: Callable[[Progress], None],
        on_arrangement: Callable[[Ranked], None],
        stop: Callable[[], bool],
        on_sketch: Callable[[int, Ranked], None] | None = None,
        reasons: Any = None,
        **asked: Any,
    ) -> Outcome:
        self.asked.append(asked)
        ranked = sample_ranked(plan, self.found)
        for number, one in enumerate(ranked, start=1):
            if on_sketch is not None:
                on_sketch(number, one)
            on_arrangement(one)
            on_progress(Progress(number, self.found, one.total, number))
        self.during()
        if self.ends is not None:
            raise self.ends
        return Outcome(tuple(ranked), self.found, 0, self.exhausted, stop(), self.remarks)
