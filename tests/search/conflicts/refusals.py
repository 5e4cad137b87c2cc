"""A brief through the search, as a command does it, to what is said of why it has no arrangement."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.search.conflicts.explaining import Explanation, explain
from solver.search.conflicts.reasons import Reasons
from solver.search.outcome import NoArrangement, Why
from solver.search.pool import arrange


def refusal(plan: Plan, reasons: Callable[[Callable[[], bool]], Why] | None = None) -> NoArrangement:
    """What the search raises."""
    with pytest.raises(NoArrangement) as none:
        arrange(plan, reasons=reasons)
    return none.value


def refused(source: Source, plan: Plan) -> Explanation | None:
    """Why the search found nothing."""
    return explain(source, plan, refusal(plan, lambda stopped: Reasons(source, stopped)))
