"""Each bar of a part has as many strokes as ``notes_per_bar`` allows."""

from __future__ import annotations

from collections import Counter

from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.rules.rule import Breach, Onsets, Rule

NAME = "as many notes a bar as asked"


def odd_bars(plan: Plan, part: PartPlan, onsets: Onsets) -> dict[int, int]:
    """Bars (from 0) with too few or too many strokes, and how many they have."""
    counts = Counter(plan.bar_of(onset) for onset in onsets)
    low, high = part.notes_per_bar
    return {bar: counts[bar] for bar in range(plan.bars) if not low <= counts[bar] <= high}


def admits(plan: Plan, part: PartPlan, onsets: Onsets) -> bool:
    """Whether every bar's number of strokes is allowed."""
    return not odd_bars(plan, part, onsets)


def breaches(heard: Heard) -> list[Breach]:
    """Bars with too few or too many strokes."""
    found = []
    for part in heard.plan.parts:
        low, high = part.notes_per_bar
        onsets = tuple(stroke.onset for stroke in heard.of(part))
        for bar, count in odd_bars(heard.plan, part, onsets).items():
            notes = "1 note" if count == 1 else f"{count} notes"
            wanted = low if low == high else f"{low} to {high}"
            why = f"{notes} in the bar, not {wanted}"
            found.append(Breach(NAME, part.name, bar * heard.plan.metre.grid, why))
    return found


RULE = Rule(NAME, breaches, admits=admits)
