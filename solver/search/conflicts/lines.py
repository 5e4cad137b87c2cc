"""The members of a conflict: lines of the brief, what a role gives where a line is left out, and locks."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from solver.brief.places import KeyPath
from solver.brief.plan import PartPlan, Plan
from solver.brief.source import Source
from solver.held import Held
from solver.music.pitch import note_name

if TYPE_CHECKING:
    from solver.brief.part_table import Part

Key = tuple[str, str | None]

GLOBAL = ("key", "chords", "avoid")
LOCK = "lock"


@dataclass(frozen=True)
class Line:
    """One thing that the brief, a role or a lock asks for.

    ``kind`` is the key of the brief, or ``lock``; ``part`` is None for what holds for the whole. ``words`` say it as
    the brief does, ``line`` and ``column`` count from 1 and are None where no line says it.
    """

    kind: str
    part: str | None
    words: str
    line: int | None = None
    column: int | None = None
    held: Held | None = None

    @property
    def key(self) -> Key:
        """What tells it from the other lines of a brief: kind and part, of a lock its words and part."""
        return (self.words if self.kind == LOCK else self.kind), self.part


def lines_of(source: Source, plan: Plan) -> tuple[Line, ...]:
    """Everything that a plan made from a brief asks for, locks last."""
    return (
        *_global_lines(source),
        *(line for part in plan.parts for line in _part_lines(source, part)),
        *(Line(LOCK, held.part, held.words, held=held) for held in plan.held),
    )


def _global_lines(source: Source) -> Iterator[Line]:
    brief = source.brief
    yield _given(source, ("key",), brief.key)
    yield _given(source, ("chords",), brief.chords)
    if brief.avoid:
        yield _given(source, ("avoid",), brief.avoid)


def _part_lines(source: Source, plan: PartPlan) -> Iterator[Line]:
    part = source.brief.parts[plan.name]
    default = _defaults(plan, part)
    for kind in ("role", "instrument", "tuning", "capo", "range", "notes_per_bar", "repeat_every", "vary_notes"):
        if kind in part.model_fields_set:
            yield _given(source, ("parts", plan.name, kind), getattr(part, kind), plan.name)
        elif kind == "role":
            line, column = source.place(("parts", plan.name))
            yield Line(kind, plan.name, f'the part\'s name, which gives it the role "{plan.role}"', line, column)
        elif kind in default:
            yield Line(kind, plan.name, default[kind])
    for kind, idle in (("figure", "few notes"), ("motion", "free"), ("texture", "single")):
        value = getattr(plan, kind)
        if kind in part.model_fields_set:
            if value != idle:
                yield _given(source, ("parts", plan.name, kind), value, plan.name)
        elif value != idle:
            yield Line(kind, plan.name, f'{plan.name}\'s default {kind} "{value}", from its role')


def _defaults(plan: PartPlan, part: Part) -> dict[str, str]:
    """In words what a part is held to without a line of its own."""
    name = plan.name
    density = "{}, {}".format(*plan.notes_per_bar)
    found = {
        "instrument": f"{name}'s default instrument, {plan.instrument.name}",
        "range": f"{name}'s default range {note_name(plan.low)}..{note_name(plan.high)}, from its role and instrument",
        "notes_per_bar": f"{name}'s default of [{density}] notes a bar, from its role",
    }
    if plan.repeat_every is not None:
        found["repeat_every"] = f"{name}'s default repeat every {plan.repeat_every} bars, from its role"
        if plan.vary_notes[1] > 0:
            low, high = plan.vary_notes
            found["vary_notes"] = f"{name}'s default of {low} to {high} varied notes, from its role"
    return found


def _given(source: Source, path: KeyPath, value: Any, part: str | None = None) -> Line:
    place = source.place(path)
    kind = str(path[-1])
    words = f"{kind} = {_toml(value)}"
    return Line(kind, part, f"{part}: {words}" if part else words, *place)


def _toml(value: Any) -> str:
    """A value as a brief writes it."""
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value:g}"
