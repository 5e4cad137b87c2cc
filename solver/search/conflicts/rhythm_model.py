"""Stage 1 as a CP-SAT model: an onset literal for each part and slot, every rule under the lines that feed it.

The families of ``solver.rhythm.lines`` are searched by drawing; this model knows whether they hold anything at all.
It poses what they are made of: so many notes a bar, no two too close, few on the weakest slots, bars that share cells,
and what the rules ask of rhythms. What it leaves out (that a lead's notes are not all of one length) only makes it
wider, so that where it has no solution there is no rhythm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from solver.brief.plan import PartPlan, Plan
from solver.rhythm.cells import fewest_weak, shortest_gap
from solver.rhythm.lines import LETTERS, period
from solver.rhythm.skeleton import Onsets
from solver.rules import background_sparse, bass_returns, counter_answers, density, lead_life, low_root, repeats
from solver.rules.bass_returns import returns
from solver.search.conflicts.feeds import feeds
from solver.search.conflicts.lines import Key
from solver.search.cp_sat import Model, cp_model

Literal = cp_model.IntVar


@dataclass(frozen=True)
class Demand:
    """What a rule asks of some parts' rhythms in a stretch of slots, ``start`` to ``end`` (exclusive)."""

    rule: str
    parts: tuple[str, ...]
    start: int
    end: int


class RhythmModel:
    """All onsets of a plan. ``keys`` are the lines that hold; ``assumed`` puts each demand under an assumption."""

    def __init__(self, plan: Plan, keys: frozenset[Key], known: frozenset[Key], *, assumed: bool = False) -> None:
        self.plan = plan
        self.cp = Model()
        self.assumptions: dict[Demand, Literal] = {}
        self._keys, self._known, self._assumed = keys, known, assumed
        self.on: dict[str, list[Literal]] = {}
        for part in plan.parts:
            cycle = [self.cp.new_bool_var("") for _ in range(period(plan, part) * plan.metre.grid)]
            self.on[part.name] = [cycle[slot % len(cycle)] for slot in range(plan.slots)]
            self._bars(part)
            self._forms(part)
            self._apart(part)
            self._repeat(part)
            self._role(part)
            self._held(part)
        self._together()
        if self._assumed:
            self.cp.add_assumptions(list(self.assumptions.values()))

    def holds(self, rule: str, parts: Iterable[str]) -> bool:
        """Whether all lines that feed a rule are kept."""
        return self.fed_by(rule, parts) <= self._keys

    def fed_by(self, rule: str, parts: Iterable[str]) -> frozenset[Key]:
        """The lines behind a rule of rhythm."""
        names = tuple(parts)
        if names and (rule, names[0]) in self._known:  # a lock
            return frozenset({(rule, names[0])})
        found = feeds(rule, names, self._known)
        if rule == background_sparse.NAME and len(names) == 1:
            found |= {("chords", None)} & self._known
        return found

    def _demand(self, constraint: cp_model.Constraint, rule: str, parts: tuple[str, ...], start: int, end: int) -> None:
        if not self.holds(rule, parts):
            constraint.only_enforce_if(self.cp.new_constant(0))
        elif self._assumed:
            demand = Demand(rule, parts, start, end)
            if demand not in self.assumptions:
                self.assumptions[demand] = self.cp.new_bool_var(rule)
            constraint.only_enforce_if(self.assumptions[demand])

    def _bars(self, part: PartPlan) -> None:
        grid, (low, high) = self.plan.metre.grid, part.notes_per_bar
        weakest = min(self.plan.metre.weights)
        weak = [slot for slot in range(grid) if self.plan.metre.weights[slot] == weakest]
        on = self.on[part.name]
        self.cp.add_bool_or(on)
        calm = self.holds(density.NAME, (part.name,)) and _is_calm(self.plan, part)
        for bar in range(period(self.plan, part)):
            start = bar * grid
            inside = on[start : start + grid]
            total = cp_model.LinearExpr.sum(inside)
            constraint = self.cp.add_linear_constraint(total, low, high)
            self._demand(constraint, density.NAME, (part.name,), start, start + grid)
            if calm:
                few = self.cp.new_bool_var("")
                off = 3 * cp_model.LinearExpr.sum([inside[slot] for slot in weak])
                self.cp.add(off <= 3).only_enforce_if(few)
                self.cp.add(off <= total).only_enforce_if(few.negated())

    def _forms(self, part: PartPlan) -> None:
        grid, bars = self.plan.metre.grid, period(self.plan, part)
        on = self.on[part.name]
        letters = min(LETTERS, bars - 1 if bars >= 3 else bars)
        if letters == bars:
            return
        cells = [[self.cp.new_bool_var("") for _ in range(grid)] for _ in range(letters)]
        for bar in range(bars):
            chosen = [self.cp.new_bool_var("") for _ in range(letters)]
            self.cp.add_exactly_one(chosen)
            for letter, cell in zip(chosen, cells, strict=True):
                for slot in range(grid):
                    self.cp.add(on[bar * grid + slot] == cell[slot]).only_enforce_if(letter)

    def _apart(self, part: PartPlan) -> None:
        on = self.on[part.name]
        slots = period(self.plan, part) * self.plan.metre.grid
        gap = shortest_gap(self.plan, part)
        for start in range(slots) if 1 < gap <= slots else ():
            within = [on[(start + step) % slots] for step in range(gap)]
            constraint = self.cp.add(cp_model.LinearExpr.sum(within) <= 1)
            bar = start - start % self.plan.metre.grid
            self._demand(constraint, density.NAME, (part.name,), bar, bar + self.plan.metre.grid)

    def _repeat(self, part: PartPlan) -> None:
        if part.repeat_every is not None and part.vary_notes[0] > 0:
            tail = self.plan.tail_start(part)
            varied = cp_model.LinearExpr.sum(self.on[part.name][tail:])
            constraint = self.cp.add(varied >= part.vary_notes[0])
            self._demand(constraint, repeats.NAME, (part.name,), tail, self.plan.slots)

    def _role(self, part: PartPlan) -> None:
        on, plan = self.on[part.name], self.plan
        if plan.bass is not None and part.name == plan.bass.name:
            for span in plan.spans:
                self._demand(self.cp.add_bool_or(on[span.start]), low_root.NAME, (part.name,), span.start, span.end)
            for _, slot in returns(plan):
                self._demand(self.cp.add_bool_or(on[slot]), bass_returns.NAME, (part.name,), slot, slot + 1)
        if part.role == "background":
            for span in plan.spans:
                constraint = self.cp.add_bool_or(on[span.start : span.end])
                self._demand(constraint, background_sparse.NAME, (part.name,), span.start, span.end)
        if part.role == "lead" and lead_life.may_syncopate(plan, part):
            length = lead_life.statement_bars(plan, part) * plan.metre.grid
            for start in lead_life.statements(plan, part):
                constraint = self.cp.add_bool_or(self._syncopations(on[start : start + length]))
                self._demand(constraint, lead_life.NAME, (part.name,), start, start + length)

    def _held(self, part: PartPlan) -> None:
        on = self.on[part.name]
        for held in self.plan.held:
            if held.part != part.name or held.aspect == "pitch":
                continue
            onsets = {note.onset for note in held.notes}
            for slot in range(held.start, held.end):
                constraint = self.cp.add_bool_or(on[slot] if slot in onsets else on[slot].negated())
                self._demand(constraint, held.words, (part.name,), slot, slot + 1)

    def _syncopations(self, on: list[Literal]) -> list[Literal]:
        """Literals that imply a note held or silent over a stronger slot, in a cycle of onsets."""
        weights = self.plan.metre.weights
        found: list[Literal] = []
        for note in range(len(on)):
            weight = weights[note % len(weights)]
            over: list[Literal] = []
            for step in range(1, len(on)):
                over.append(on[(note + step) % len(on)])
                if weights[(note + step) % len(weights)] > weight:
                    held = self.cp.new_bool_var("")
                    self.cp.add_implication(held, on[note])
                    for literal in over:
                        self.cp.add_implication(held, literal.negated())
                    found.append(held)
                    break
        return found

    def _together(self) -> None:
        plan = self.plan
        leads = plan.with_role("lead")
        for part in plan.with_role("background"):
            for lead in leads:
                sums = [cp_model.LinearExpr.sum(self.on[one.name]) for one in (part, lead)]
                names = (part.name, lead.name)
                self._demand(self.cp.add(sums[0] <= sums[1]), background_sparse.NAME, names, 0, plan.slots)
        for part in plan.with_role("counter"):
            answers: list[Literal] = []
            for slot, onset in enumerate(self.on[part.name]):
                alone = self.cp.new_bool_var("")
                self.cp.add_implication(alone, onset)
                for lead in leads:
                    self.cp.add_implication(alone, self.on[lead.name][slot].negated())
                answers.append(alone)
            enough = 3 * cp_model.LinearExpr.sum(answers) >= 2 * cp_model.LinearExpr.sum(self.on[part.name])
            names = (part.name, *(lead.name for lead in leads))
            self._demand(self.cp.add(enough), counter_answers.NAME, names, 0, plan.slots)

    def read(self, value: Callable[[Literal], int]) -> dict[str, Onsets]:
        """The onsets of each part, from a solution."""
        return {name: tuple(slot for slot, literal in enumerate(on) if value(literal)) for name, on in self.on.items()}


def _is_calm(plan: Plan, part: PartPlan) -> bool:
    """Whether bars of every number of notes exist that keep to the strong slots, as cells then have to."""
    low, high = part.notes_per_bar
    gap = shortest_gap(plan, part)
    return all(
        3 * fewest_weak(plan.metre, count, gap) <= max(3, count) for count in range(low, min(high, plan.metre.grid) + 1)
    )
