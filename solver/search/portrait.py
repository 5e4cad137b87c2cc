"""One plain sentence on what sets an arrangement apart from the others of its take."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.heard import Heard
from solver.merits.motif_returns import direction
from solver.music.metre import longuet_higgins_lee
from solver.music.pitch import note_name
from solver.rules.passing_notes import moves_by_step
from solver.search.variety import is_free, leading

Traits = tuple[str, ...]


def portraits(plan: Plan, arrangements: Sequence[Arrangement]) -> list[str]:
    """A sentence for each: the two or three of its traits that the fewest others share; not of what is locked."""
    traits = [_traits(Heard(plan, arrangement)) for arrangement in arrangements]
    common = Counter(trait for own in traits for trait in set(own))
    sentences = []
    for own in traits:
        rarest = sorted(range(len(own)), key=lambda index: (common[own[index]], index))[:3]
        sentences.append("; ".join(own[index] for index in sorted(rarest)))
    return sentences


def _traits(heard: Heard) -> Traits:
    plan, traits = heard.plan, []
    free = {part.name for part in plan.parts if any(is_free(plan, part, stroke.onset) for stroke in heard.of(part))}
    bass = plan.bass
    if bass is not None and bass.name in free:
        traits.append(_walk(heard, bass))
    lead = leading(plan)
    if lead.name in free and len(heard.of(lead)) > 1:
        traits += [_opening(heard, lead), _ending(heard, lead), _pulse(heard, lead)]
    traits += [_own(heard, part) for part in plan.with_role("background") if part.name in free]
    return tuple(traits)


def _name(plan: Plan, pitch: int) -> str:
    return note_name(pitch, plan.key.prefers_flats)


def _walk(heard: Heard, bass: PartPlan) -> str:
    """Where the low notes go, from the first that is not locked to the last."""
    plan, strokes = heard.plan, heard.of(bass)
    free = [index for index, stroke in enumerate(strokes) if is_free(plan, bass, stroke.onset)]
    line = strokes[free[0] : free[-1] + 1]
    if len({stroke.pitches[0] for stroke in line}) == 1:
        line = strokes
    pitches = [stroke.pitches[0] for stroke in line]
    first, last = _name(plan, pitches[0]), _name(plan, pitches[-1])
    moves = [(a, b) for a, b in itertools.pairwise(line) if a.pitches[0] != b.pitches[0]]
    if not moves:
        return f"{bass.name} stays on {first}"
    ways = {direction(a.pitches[0], b.pitches[0]) for a, b in moves}
    if len(ways) == 1 and all(
        moves_by_step(plan, bass, a.onset, a.pitches[0], b.onset, b.pitches[0]) for a, b in moves
    ):
        return f"{bass.name} walks {'up' if ways == {1} else 'down'} from {first} to {last}"
    farthest = max(pitches, key=lambda pitch: abs(pitch - pitches[0]))
    by = "" if farthest == pitches[-1] else f" by {_name(plan, farthest)}"
    return f"{bass.name} goes from {first}{by} to {last}"


def _opening(heard: Heard, lead: PartPlan) -> str:
    strokes = heard.of(lead)[:4]
    return f"{lead.name} opens with " + " ".join(_name(heard.plan, stroke.top) for stroke in strokes)


def _ending(heard: Heard, lead: PartPlan) -> str:
    a, b = heard.of(lead)[-2:]
    way = {1: "turns up", -1: "turns down", 0: "stays"}[direction(a.top, b.top)]
    return f"{lead.name} {way} at the end"


def _pulse(heard: Heard, lead: PartPlan) -> str:
    plan = heard.plan
    bars = longuet_higgins_lee(heard.onsets[lead.name], plan.metre, plan.bars) / plan.bars
    notes = len(heard.of(lead)) / plan.bars
    return f"{lead.name} has {notes:.3g} notes a bar and a syncopation of {bars:.2g}"


def _own(heard: Heard, part: PartPlan) -> str:
    tops = Counter(stroke.top for stroke in heard.of(part))
    most = max(tops, key=lambda pitch: (tops[pitch], pitch))
    return f"{part.name} leans on {_name(heard.plan, most)}"
