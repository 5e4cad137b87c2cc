"""What a command keeps clear of besides what the brief's ``avoid`` names: files of its options, and earlier takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from solver.commands.ending import WRONG, Ending

if TYPE_CHECKING:
    from solver.avoided import Avoided
    from solver.brief.plan import Plan


def clear_of_files(plan: Plan, files: Iterable[Path]) -> Plan:
    """The plan, kept clear of these files too. Raises Ending where one cannot be read."""
    from solver.study.errors import StudyError
    from solver.study.references import avoided_file

    try:
        return _clear_of(plan, [avoided_file(file, str(file)) for file in files])
    except StudyError as error:
        raise Ending(WRONG, str(error)) from error


def clear_of_takes(plan: Plan, takes: Iterable[Path]) -> Plan:
    """The plan, kept clear of these takes too. Raises TakeError where one cannot be read."""
    from solver.brief.errors import BriefErrors
    from solver.brief.planning import plan_from_text
    from solver.study.references import avoided_take
    from solver.take import TakeError, read_take

    sources = []
    for folder in takes:
        take = read_take(folder)
        try:
            sources.append(avoided_take(take, plan_from_text(take.header.brief_text, take.header.brief_name)))
        except BriefErrors as errors:
            why = f"holds a brief that cannot be read any more ({errors.errors[0].wrong}); move the take away"
            raise TakeError(folder, why) from None
    return _clear_of(plan, sources)


def _clear_of(plan: Plan, sources: list[Avoided]) -> Plan:
    return replace(plan, avoid=replace(plan.avoid, sources=(*plan.avoid.sources, *sources)))
