"""An explanation in lines for a terminal, and as values for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.held import Held
from solver.locks import Lock
from solver.search.conflicts.changes import Change
from solver.search.conflicts.explaining import Conflict, Explanation
from solver.search.conflicts.lines import LOCK, Line


def explanation_lines(explanation: Explanation, source: Source, plan: Plan) -> list[str]:
    """One conflict after the other: its lines with their places, where they collide, and what helps."""
    found: list[str] = []
    several = len(explanation.conflicts) > 1
    for number, conflict in enumerate(explanation.conflicts, start=1):
        which = f"conflict {number}: " if several else ""
        found.append(f"{which}these cannot hold together{_where(conflict, plan)} {_proof(explanation)}:")
        found += [f"  {_line(line, source)}" for line in conflict.lines]
        if conflict.collision.rules:
            found.append(f"  what meets there: {'; '.join(conflict.collision.rules)}")
        if conflict.repairs:
            others = ", together with a change for each other conflict" if several else ""
            found.append(f"what helps, each tried by solving{others}, the nearest first:")
            found += [f"  {change.words}" for change in conflict.repairs]
        else:
            found.append("no single small change of these lines was found to help")
    return found


def explanation_data(explanation: Explanation, source: Source, plan: Plan) -> list[dict[str, Any]]:
    """The conflicts as JSON values."""
    return [
        {
            "lines": [_line_data(line, source) for line in conflict.lines],
            "rules": list(conflict.collision.rules),
            "where": _place(conflict, plan),
            "rhythms": explanation.rhythms,
            "every_rhythm": explanation.every,
            "repairs": [_change_data(change, plan) for change in conflict.repairs],
        }
        for conflict in explanation.conflicts
    ]


def _place(conflict: Conflict, plan: Plan) -> dict[str, float] | None:
    if conflict.collision.slot is None:
        return None
    bar, beat = plan.metre.bar_and_beat(conflict.collision.slot)
    return {"bar": bar, "beat": beat}


def _where(conflict: Conflict, plan: Plan) -> str:
    return "" if conflict.collision.slot is None else f" at {plan.place(conflict.collision.slot)}"


def _proof(explanation: Explanation) -> str:
    if explanation.rhythms == 0:
        return "in any rhythm"
    if explanation.rhythms == 1:
        return "in its one rhythm" if explanation.every else "in the one rhythm tried"
    number = f"{explanation.rhythms} rhythms"
    return f"in any of its {number}" if explanation.every else f"in each of {number} tried"


def _line(line: Line, source: Source) -> str:
    return line.words if line.line is None else f"{source.path}:{line.line}:{line.column}: {line.words}"


def _line_data(line: Line, source: Source) -> dict[str, Any]:
    file = None if line.line is None else str(source.path)
    return {"file": file, "line": line.line, "column": line.column, "part": line.part, "words": line.words}


def _change_data(change: Change, plan: Plan) -> dict[str, Any]:
    """A change as a key with its new value, or as the locks that are left."""
    facts = {"words": change.words, "key": ".".join(map(str, change.path)) or None, "value": change.value}
    return facts if change.held is None else facts | {"locks": _locks(change.held, plan)}


def _locks(held: Iterable[Held], plan: Plan) -> list[str]:
    """Locks as they are written; what the brief takes from files is none."""
    grid = plan.metre.grid
    return [
        str(Lock(one.part, (one.start // grid + 1, -(-one.end // grid)), one.aspect))
        for one in held
        if one not in plan.held or one.words.startswith(LOCK)
    ]
