"""Where the two halves of the rules differ on a small brief drawn at random.

The model's own solution must be free of breaches; and pitches near it (or any, where the model has no solution) must be
feasible in the model if, and only if, the check finds no breach.

``python -m tests.search.halves 0 2000`` looks at the briefs 0 to 1999 and prints what differs: more than a test can.
"""

from __future__ import annotations

import sys
from random import Random

from solver.brief.plan import PartPlan
from solver.check import breaches
from solver.rhythm.skeleton import NoteSlot
from solver.search.states import candidate_states
from tests.search.fixing import Line, any_solution, arrangement_of, is_feasible, lines_of, model_of
from tests.search.random_briefs import SmallCase, random_case

CHANGED = 4  # arrangements that are tried for each brief besides the model's own


def differences(seed: int) -> tuple[int, list[str]]:
    """How many arrangements of brief ``seed`` were judged by both halves, and those on which they differ, in words."""
    random = Random(seed)
    case = random_case(random)
    if case is None:
        return 0, []
    model = model_of(case.plan, case.skeleton)
    solution = any_solution(model, random) if model is not None else None
    base = lines_of(case.plan, solution) if solution is not None else random_lines(random, case)
    tried = [base, *(changed(random, case, base) for _ in range(CHANGED))]
    found = []
    for lines in tried:
        allowed = is_feasible(model, lines)
        arrangement = arrangement_of(case.plan, case.skeleton, lines)
        broken = [breach.line(case.plan) for breach in breaches(case.plan, arrangement)]
        if allowed == bool(broken):
            verdict = "allows" if allowed else "forbids"
            found.append(f"brief {seed}: {case}\n  {lines}\n  the model {verdict} it, breaches: {broken}")
    return len(tried), found


def random_lines(random: Random, case: SmallCase) -> dict[str, Line]:
    """Pitches for every slot of a case, repeats repeating."""
    lines: dict[str, Line] = {}
    for part in case.plan.parts:
        slots = case.skeleton.slots[part.name]
        drawn = {
            home: random_pitches(random, case, part, slots[home]) for home in sorted({slot.home for slot in slots})
        }
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


def main(first: int, count: int) -> None:
    """Look at many briefs; print each difference as it is found, and how much was looked at."""
    judged = differing = 0
    for seed in range(first, first + count):
        tried, found = differences(seed)
        judged += tried
        differing += len(found)
        for line in found:
            print(line, flush=True)
    print(f"{count} briefs, {judged} arrangements judged twice, {differing} judged differently")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
