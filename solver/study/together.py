"""The parts together: registers, onsets, the directions of the outer lines, the bass under the returns, the blend."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from solver.heard import Heard
from solver.merits import blend
from solver.study import roughness
from solver.study.as_plan import arrangement_of, plan_of
from solver.study.bass import BassReturn, bass_returns
from solver.study.loop import LoopPart
from solver.study.study import PartStudy, Study


@dataclass(frozen=True)
class Registers:
    """Two neighbouring parts: semitones between the upper one's lowest and the lower one's highest note (negative:
    they overlap by so many and one)."""

    upper: str
    lower: str
    gap: int


@dataclass(frozen=True)
class OuterMotion:
    """How the highest and the lowest line move where both start a note together, counted in moves."""

    contrary: int
    similar: int
    oblique: int


@dataclass(frozen=True)
class Together:
    """What holds between the parts. ``shared`` and ``starts`` count slots in which several parts, and any part, start
    a note; ``blend`` is the merit's own sentence, ``roughness`` names the
    roughest place."""

    registers: tuple[Registers, ...]
    shared: int
    starts: int
    outer: OuterMotion | None
    returns: tuple[BassReturn, ...]
    blend: str
    roughness: str


def together(study: Study) -> Together | None:
    """What holds between the parts; None for one part alone."""
    parts = study.parts
    if len(parts) < 2:
        return None
    heard = Heard(plan_of(study, study.path.stem), arrangement_of(study))
    counts: dict[int, int] = {}
    for part in parts:
        for onset, _ in part.part.tops:
            counts[onset] = counts.get(onset, 0) + 1
    return Together(
        registers=tuple(Registers(a.name, b.name, a.low - b.high) for a, b in pairwise(parts)),
        shared=sum(count > 1 for count in counts.values()),
        starts=len(counts),
        outer=_outer(parts),
        returns=_returns(study),
        blend=blend.sentence(heard),
        roughness=roughness.sentence(heard),
    )


def _outer(parts: tuple[PartStudy, ...]) -> OuterMotion | None:
    """The moves of the highest and lowest part into onsets that they share."""
    high, low = _moves_into(parts[0].part, top=True), _moves_into(parts[-1].part, top=False)
    ways = [(high[onset], low[onset]) for onset in sorted(set(high) & set(low))]
    if not ways:
        return None
    return OuterMotion(
        contrary=sum(a * b < 0 for a, b in ways),
        similar=sum(a * b > 0 for a, b in ways),
        oblique=sum(a * b == 0 for a, b in ways),
    )


def _moves_into(part: LoopPart, top: bool) -> dict[int, int]:
    """The interval by which a line comes to each of its onsets but the first."""
    line = [(stroke[0].onset, (stroke[-1] if top else stroke[0]).pitch) for stroke in part.strokes]
    return {onset: pitch - before for (_, before), (onset, pitch) in pairwise(line)}


def _returns(study: Study) -> tuple[BassReturn, ...]:
    leads = [part for part in study.with_role("lead") if part.repeat]
    lows = study.with_role("low")
    if not leads or not lows or leads[0].repeat is None:
        return ()
    return bass_returns(study.loop, lows[-1].part, leads[0].repeat.every)
