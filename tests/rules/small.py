"""Small plans and arrangements, written in a few words each.

A plan is its brief's keys with semicolons between them: ``plan_of("bars = 2", lead='range = "C4..C5"')``. What is left
out is a bar of 4/4 on the chord C in C major. A part's notes are written bar by bar, bars parted by ``|``; a bar is
divided evenly among its signs: a note or several joined by ``+`` start (``A4``, ``C4+E4``), ``-`` holds them on, ``.``
is silence, and ``A4:trill`` carries an ornament. So ``"A4 - . C5"`` is a bar of four quarters: A4 for two of them, a
rest, C5.
"""

from __future__ import annotations

from dataclasses import replace

from solver.arrangement import Arrangement, Note
from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.heard import Heard
from solver.music.pitch import parse_note
from solver.rules.rule import Rule

DEFAULTS = {"key": '"C major"', "bars": "1", "chords": '["C"]'}


def plan_of(top: str = "", **parts: str) -> Plan:
    """The plan of a brief whose own keys and whose parts' keys are given, parts from the first to the last."""
    keys = DEFAULTS | _keys(top)
    lines = [f"{name} = {value}" for name, value in keys.items()]
    for name, text in parts.items():
        lines += [f"[parts.{name}]", *(f"{key} = {value}" for key, value in _keys(text).items())]
    return plan_from_text("\n".join(lines), "small")


def _keys(text: str) -> dict[str, str]:
    pairs = (entry.split("=", 1) for entry in text.split(";") if entry.strip())
    return {name.strip(): value.strip() for name, value in pairs}


def notes_of(plan: Plan, part: str, text: str) -> tuple[Note, ...]:
    """The notes of one part. Raises ValueError where the bars are not the plan's or do not divide evenly."""
    bars = [bar.split() for bar in text.split("|")]
    if len(bars) != plan.bars or any(not bar or plan.metre.grid % len(bar) for bar in bars):
        raise ValueError(f"{text!r} does not fill {plan.bars} bars of {plan.metre.grid} slots evenly")
    signs = [(sign, plan.metre.grid // len(bar)) for bar in bars for sign in bar]
    notes: list[Note] = []
    sounding: list[Note] = []
    slot = 0
    for sign, width in [*signs, (".", 0)]:
        if sign == "-":
            sounding = [replace(note, length=note.length + width) for note in sounding]
        else:
            notes += sounding
            names = [] if sign == "." else sign.split("+")
            parted = [name.partition(":") for name in names]
            sounding = [Note(part, slot, width, parse_note(name), ornament=o or None) for name, _, o in parted]
        slot += width
    return tuple(notes)


def heard(plan: Plan, **lines: str) -> Heard:
    """A plan with the notes of its parts, as they are heard; a part that is not given is silent."""
    unknown = set(lines) - {part.name for part in plan.parts}
    if unknown:
        raise ValueError(f"the plan has no {', '.join(sorted(unknown))}")
    return Heard(plan, Arrangement(tuple(note for part, text in lines.items() for note in notes_of(plan, part, text))))


def found(rule: Rule, plan: Plan, **lines: str) -> list[tuple[str | None, int]]:
    """Where a rule is broken: (part, slot) of each breach, in order of time."""
    return sorted(((b.part, b.slot) for b in rule.breaches(heard(plan, **lines))), key=lambda b: (b[1], b[0] or ""))


def onsets_of(plan: Plan, **lines: str) -> dict[str, tuple[int, ...]]:
    """The onsets of each part of the plan, as a rhythm skeleton wants them."""
    return heard(plan, **lines).onsets
