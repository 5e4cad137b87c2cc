"""The workspace's takes for the page: a brief's takes at a glance, and single arrangements with their plans."""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.arrangement import Ranked
from solver.brief.errors import BriefErrors
from solver.page.jobs import Jobs
from solver.page.paths import Workspace
from solver.page.refusal import Refusal, missing
from solver.take import TakeError, list_takes, read_take
from solver.takes.record import RECORD
from solver.takes.remarks import read_remarks

if TYPE_CHECKING:
    from solver.avoided import Avoided
    from solver.brief.plan import Plan
    from solver.held import Held

TAKES_KEPT = 16  # read takes that are remembered
_ARRANGEMENTS = b'\n "arrangements": [\n'
_TOTAL, _PROVED = b'\n   "total": ', b'\n   "proved": '


@dataclass(frozen=True)
class Loops:
    """Arrangements of one take or one job with the plan that they follow, best first as they are numbered."""

    plan: Plan
    arrangements: tuple[Ranked, ...]


class Shelf:
    """Takes of a workspace, and jobs in place of takes that are still to come; remembers what it read last."""

    def __init__(self, workspace: Workspace, jobs: Jobs) -> None:
        self._workspace, self._jobs = workspace, jobs
        self._lock = threading.Lock()
        self._loops: OrderedDict[tuple[Path, int], Loops] = OrderedDict()
        self._rows: dict[Path, tuple[int, dict[str, Any]]] = {}

    def loops(self, brief: str, name: str) -> Loops:
        """The arrangements of a take, or of a job under its name. Raises Refusal where there are none."""
        if name.startswith("job-"):
            job = self._jobs.job(name)
            if job.order.brief != brief or not job.found:
                raise missing(f"arrangement of {name}")
            return Loops(_plan(job.text, brief, lines=job.lines), tuple(entry.ranked for entry in job.found))
        folder = self._workspace.take(brief, name)
        try:
            key = folder, (folder / RECORD).stat().st_mtime_ns
            with self._lock:
                if key in self._loops:
                    self._loops.move_to_end(key)
                    return self._loops[key]
            take = read_take(folder)
        except (TakeError, OSError) as error:
            raise Refusal(422, f"{name}: {_reason(error)}") from None
        header = take.header
        loops = Loops(_plan(header.brief_text, header.brief_name, header.references, header.lines), take.arrangements)
        with self._lock:
            self._loops[key] = loops
            if len(self._loops) > TAKES_KEPT:
                self._loops.popitem(last=False)
        return loops

    def loop(self, brief: str, name: str, number: int) -> tuple[Plan, Ranked]:
        """One arrangement, by its number from 1. Raises Refusal where there is none."""
        loops = self.loops(brief, name)
        if not 1 <= number <= len(loops.arrangements):
            raise missing(f"arrangement {number} of {name}")
        return loops.plan, loops.arrangements[number - 1]

    def rows(self, brief: str) -> list[dict[str, Any]]:
        """All takes of a brief by number: where each came from, its totals, favourites and notes."""
        return [self._row(folder) for folder in list_takes(self._workspace.takes(brief))]

    def _row(self, folder: Path) -> dict[str, Any]:
        try:
            stamp = (folder / RECORD).stat().st_mtime_ns
            known = self._rows.get(folder)
            if known is None or known[0] != stamp:
                known = (stamp, _row_of(folder))
                self._rows[folder] = known
            remarks = read_remarks(folder)
        except (OSError, ValueError, KeyError, TypeError, TakeError) as error:
            return {"name": folder.name, "broken": _reason(error), "arrangements": [], "parent": None}
        own = {number: {"favourite": remark.favourite, "note": remark.note} for number, remark in remarks.items()}
        return {**known[1], "remarks": own}


def _reason(error: Exception) -> str:
    """Why a take cannot be read, without the path of this machine on which it lies."""
    if isinstance(error, TakeError):
        return error.message
    if isinstance(error, FileNotFoundError):
        return f"it holds no {RECORD}"
    return (error.strerror or str(error)).lower() if isinstance(error, OSError) else str(error)


def _row_of(folder: Path) -> dict[str, Any]:
    """A take at a glance. Only what is shown is looked at; the whole is checked when the take is opened."""
    data, found = _glance((folder / RECORD).read_bytes())
    parent = data["parent"]
    return {
        "name": folder.name,
        "parent": {"take": str(parent["take"]), "number": int(parent["arrangement"])} if parent else None,
        "midi": str(data["options"]["from"]) if data["options"].get("from") else None,
        "seed": data["seed"],
        "locks": [str(lock) for lock in data["locks"]],
        "changes": [str(change) for change in data["changes"]],
        "kind": next((kind for kind in ("like", "unlike") if data["options"].get(kind)), None),
        "arrangements": [
            {"number": number, "total": round(total, 1), "proved": proved}
            for number, (total, proved) in enumerate(found, start=1)
        ],
    }


def _glance(text: bytes) -> tuple[dict[str, Any], list[tuple[float, bool]]]:
    """A record's head, and each arrangement's total and whether it is proved.

    In the layout in which takes are written the notes, which are nearly all of it, need not be parsed; whatever is laid
    out otherwise is parsed as a whole.
    """
    head, mark, rest = text.partition(_ARRANGEMENTS)
    entries = rest.split(_TOTAL)[1:]
    if mark and entries and len(entries) == rest.count(_PROVED):
        data = json.loads(head.rstrip().removesuffix(b",") + b"}")
        return data, [(float(entry.partition(b",")[0]), _PROVED + b"true," in entry) for entry in entries]
    data = json.loads(text)
    return data, [(float(entry["total"]), bool(entry["proved"])) for entry in data["arrangements"]]


def _plan(text: str, name: str, references: Sequence[Avoided] = (), lines: Sequence[Held] = ()) -> Plan:
    from solver.brief.planning import plan_from_text

    try:
        return plan_from_text(text, name, references, lines)
    except BriefErrors as errors:
        raise Refusal(422, f"its brief cannot be read any more: {errors.errors[0].wrong}") from None
