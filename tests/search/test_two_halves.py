"""The two halves of every rule say the same: what the pitch model allows is what the check on plain notes accepts.

Each example is a small brief with a rhythm, drawn at random. Whatever the model gives must be free of breaches; and any
pitches in the same slots are feasible in the model if, and only if, the check finds no breach.
"""

from __future__ import annotations

from random import Random

from hypothesis import assume, given, note, settings
from hypothesis import strategies as st

from solver.brief.plan import PartPlan
from solver.check import breaches
from solver.rhythm.skeleton import NoteSlot
from solver.search.states import candidate_states
from tests.search.fixing import Line, any_solution, arrangement_of, is_feasible, lines_of, model_of
from tests.search.random_briefs import SmallCase, random_case

CHANGED = 4  # arrangements that are tried for each brief, near one that keeps all rules where there is one


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=100, deadline=None)
def test_what_the_model_gives_has_no_breach(seed: int) -> None:
    random = Random(seed)
    case = random_case(random)
    assume(case is not None)
    assert case is not None
    model = model_of(case.plan, case.skeleton)
    assume(model is not None)
    assert model is not None
    arrangement = any_solution(model, random)
    assume(arrangement is not None)
    assert arrangement is not None
    note(f"{case}\n{lines_of(case.plan, arrangement)}")
    assert [breach.line(case.plan) for breach in breaches(case.plan, arrangement)] == []


@given(st.integers(0, 2**31 - 1))
@settings(max_examples=80, deadline=None)
def test_the_check_accepts_what_the_model_allows_and_nothing_else(seed: int) -> None:
    random = Random(seed)
    case = random_case(random)
    assume(case is not None)
    assert case is not None
    model = model_of(case.plan, case.skeleton)
    arrangement = any_solution(model, random) if model is not None else None
    base = lines_of(case.plan, arrangement) if arrangement is not None else random_lines(random, case)
    for _ in range(CHANGED):
        lines = changed(random, case, base)
        note(f"{case}\n{lines}")
        plain = [b.line(case.plan) for b in breaches(case.plan, arrangement_of(case.plan, case.skeleton, lines))]
        note(f"{plain}")
        assert is_feasible(model, lines) == (not plain)


def random_lines(random: Random, case: SmallCase) -> dict[str, Line]:
    """Pitches for every slot of a case, repeats repeating."""
    lines: dict[str, Line] = {}
    for part in case.plan.parts:
        slots = case.skeleton.slots[part.name]
        drawn = {home: random_pitches(random, case, part, slots[home]) for home in {slot.home for slot in slots}}
        lines[part.name] = tuple(drawn[slot.home] for slot in slots)
    return lines


def random_pitches(random: Random, case: SmallCase, part: PartPlan, slot: NoteSlot) -> tuple[int, ...]:
    """What a part might play in a slot, mostly in the scale, now and then outside its range."""
    span = case.plan.span_at(slot.onset)
    if not part.is_line:
        states = candidate_states(case.plan, part, slot.onset)
        if states and random.random() < 0.9:
            return random.choice(states).pitches
        return tuple(sorted(random.sample(range(part.low, part.high + 1), 2 if part.texture == "dyads" else 3)))
    wanted = span.scale if random.random() < 0.95 else range(12)
    return (random.choice([pitch for pitch in range(part.low - 1, part.high + 2) if pitch % 12 in wanted]),)


def changed(random: Random, case: SmallCase, lines: dict[str, Line]) -> dict[str, Line]:
    """The same with other pitches in one to three slots; most often all that repeat such a slot change with it."""
    found = dict(lines)
    for _ in range(random.choice((1, 1, 2, 3))):
        part = random.choice([part for part in case.plan.parts if found[part.name]])
        slots = case.skeleton.slots[part.name]
        slot = random.choice(slots)
        pitches = random_pitches(random, case, part, slots[slot.home])
        alone = random.random() < 0.1
        found[part.name] = tuple(
            pitches if other is slot or (not alone and other.home == slot.home) else before
            for other, before in zip(slots, found[part.name], strict=True)
        )
    return found
