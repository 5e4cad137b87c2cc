"""The plan that is left of a brief when some of its lines ask for nothing any more."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from solver.brief.plan import BROKEN, PartPlan, Plan
from solver.search.conflicts.lines import LOCK, Line

NO_ROLE = ""
FULL = 8  # notes a bar, as many as a part without a density may have
ANY = 127  # semitones, or notes: more than there can be


def relaxed(plan: Plan, kept: Collection[Line], every: Collection[Line]) -> Plan:
    """The plan without the lines of ``every`` that are not kept, and without the parts of which none is kept.

    A range becomes the whole instrument, a density anything from no note to eight a bar, a repeat none, and so on. What
    only single rules read (key, chords, instrument, texture) stays in the plan; the rules are left out instead.
    """
    dropped = {(line.kind, line.part) for line in every if line not in kept and line.kind != LOCK}
    free = {line.held for line in every if line not in kept and line.kind == LOCK}
    asked = {line.part for line in kept}
    parts = tuple(
        _part(part, {kind for kind, name in dropped if name == part.name}) for part in plan.parts if part.name in asked
    )
    return replace(plan, parts=parts, held=tuple(held for held in plan.held if held not in free))


def _part(part: PartPlan, dropped: set[str]) -> PartPlan:
    if "range" in dropped:
        part = replace(part, low=part.instrument.low, high=part.instrument.high)
    if "notes_per_bar" in dropped:
        part = replace(part, notes_per_bar=(0, max(FULL, part.notes_per_bar[1])))
    if "repeat_every" in dropped:
        part = replace(part, repeat_every=None, vary_notes=(0, 0))
    elif "vary_notes" in dropped:
        part = replace(part, vary_notes=(0, ANY))
    if "figure" in dropped and part.figure == BROKEN:
        part = replace(part, figure="few notes")
    if "motion" in dropped:
        part = replace(part, motion="free")
    if "role" in dropped:
        part = replace(part, role=NO_ROLE, max_leap=ANY)
    return part
