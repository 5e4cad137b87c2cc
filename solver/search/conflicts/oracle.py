"""Whether some of a brief's lines can hold together: rhythms first, then pitches, by exact models of these alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from random import Random

from solver.brief.plan import Plan
from solver.rhythm.skeleton import Onsets, skeleton_from
from solver.rules import coverage, every_rule
from solver.search.conflicts.asked import Asked
from solver.search.conflicts.explaining_model import STRUCTURAL, ExplainingModel, Instance
from solver.search.conflicts.feeds import feeds
from solver.search.conflicts.lines import Line
from solver.search.conflicts.questions import LIMIT, SHORT, Undecided, is_solved, new_solver, status_of
from solver.search.conflicts.relaxing import relaxed
from solver.search.conflicts.rhythm_model import RhythmModel
from solver.search.cp_sat import cp_model
from solver.search.model import NoState

Rhythm = dict[str, Onsets]

# Lines whose absence allows other rhythms.
OF_RHYTHM = frozenset({"notes_per_bar", "repeat_every", "vary_notes", "role", "chords", "lock"})
SAMPLES = 3  # rhythms that are tried besides where some of these lines are missing
WIDER = (0, 5)  # semitones beyond a range that are tried first where a range is left out
SOON = 2.0  # deterministic seconds for what only saves time: which rules refute, whether those that are suspected do
# Lines that shape a part before any rule is asked: a refutation does not name them, so they are always suspected.
SHAPES = ("role", "range", "repeat_every", "vary_notes", "figure", "texture", "instrument", "tuning", "capo", "lock")


class Oracle:
    """Answers for one plan and its lines.

    ``rhythms`` are those on which all lines together were refuted. Where there are none, the question is whether the
    lines leave any rhythm; else whether they leave pitches for one. ``stopped`` ends it: every question is Undecided.
    """

    def __init__(
        self,
        plan: Plan,
        lines: tuple[Line, ...],
        rhythms: Iterable[Rhythm],
        stopped: Callable[[], bool] = lambda: False,
    ) -> None:
        self.plan = plan
        self.lines = lines
        self.rhythms = list(rhythms)
        self.of_rhythm = not self.rhythms
        self.suspects: frozenset[str] = frozenset()  # names of the rules that refutations rest on
        self.known = frozenset(line.key for line in lines)
        self._asked = Asked()
        self._sampled: dict[tuple[tuple[str, ...], str], list[Rhythm | None]] = {}
        self._answers: dict[frozenset[Line], bool] = {}
        self._cores: dict[frozenset[Line], frozenset[Line]] = {}
        self._on: dict[tuple[frozenset[Line], tuple[Onsets, ...]], bool] = {}
        self.stopped = stopped

    def changed(self, plan: Plan, lines: tuple[Line, ...], rhythms: Iterable[Rhythm]) -> Oracle:
        """An oracle of a changed plan, which begins with what this one suspects and was told, and ends with it."""
        other = Oracle(plan, lines, rhythms, self.stopped)
        other.suspects, other._asked = self.suspects, self._asked
        return other

    def feasible(self, kept: frozenset[Line]) -> bool:
        """Whether the lines can hold together, as far as the rhythms at hand can tell. Raises Undecided."""
        if kept not in self._answers:
            # What holds together still does without some of its lines.
            self._answers[kept] = any(yes and kept < more for more, yes in self._answers.items()) or self._ask(kept)
        return self._answers[kept]

    def _ask(self, kept: frozenset[Line]) -> bool:
        if self.of_rhythm:
            return self.has_rhythm(kept)
        plan = relaxed(self.plan, kept, self.lines)
        return any(self.holds_on(kept, rhythm) for rhythm in self._candidates(plan, kept))

    def also(self, rhythm: Rhythm) -> None:
        """Ask about this rhythm too, and before the others."""
        self.rhythms.insert(0, rhythm)
        self._answers = {kept: answer for kept, answer in self._answers.items() if answer}
        self._cores = {}

    def _candidates(self, plan: Plan, kept: frozenset[Line]) -> Iterator[Rhythm]:
        yield from self.rhythms
        missing = {line.kind for line in self.lines if line not in kept}
        if missing & OF_RHYTHM:
            yield from self.sample(plan, kept)

    def holds_on(self, kept: frozenset[Line], rhythm: Rhythm) -> bool:
        """Whether the lines can hold together on a rhythm. Raises Undecided."""
        plan = relaxed(self.plan, kept, self.lines)
        key = kept, tuple(rhythm[part.name] for part in plan.parts)
        if key not in self._on:
            self._on[key] = self.suits(plan, kept, rhythm)
        return self._on[key]

    def suits(self, plan: Plan, kept: frozenset[Line], rhythm: Rhythm) -> bool:
        """Whether pitches for a rhythm exist under the lines. Raises Undecided."""
        if not plan.parts:
            return True
        if not self.may_suit(plan, kept, rhythm):
            return False
        # A solution near the ranges that the brief gives is one where ranges are left out, and found sooner.
        nearer = (self._within(plan, more) for more in WIDER)
        if any(near != plan and self._solves(near, kept, rhythm) for near in nearer):
            return True
        found = self._solves(plan, kept, rhythm)
        if not found and self.suspects:
            self._suspect(plan, kept, rhythm)
        return found

    def _suspect(self, plan: Plan, kept: frozenset[Line], rhythm: Rhythm) -> None:
        """Add the rules of a refutation to which those that are suspected were not enough: most that follow rest on
        them too, and are cheap without the others."""
        with suppress(Undecided):  # the answer is known without
            instances = self._refutation(plan, kept, rhythm, SOON)
            self.suspects |= {instance.rule for instance in instances}

    def _refutation(self, plan: Plan, kept: frozenset[Line], rhythm: Rhythm, limit: float = LIMIT) -> list[Instance]:
        """Rules, each with the parts that it binds, that leave no pitches; none where nothing is refuted at once.
        Raises Undecided."""
        try:
            model = self.pitches(plan, kept, rhythm, assumed=True)
        except NoState:
            return []
        solver = new_solver(limit)
        if is_solved(solver, model.model, self.stopped):
            return []
        named = set(solver.sufficient_assumptions_for_infeasibility())
        return [instance for instance, literal in model.assumptions.items() if literal.index in named]

    def _within(self, plan: Plan, more: int) -> Plan:
        """The plan with ranges that go at most so many semitones beyond those of the brief."""
        given = {part.name: part for part in self.plan.parts}
        parts = (
            replace(
                part,
                low=max(part.low, given[part.name].low - more),
                high=min(part.high, given[part.name].high + more),
            )
            for part in plan.parts
        )
        return replace(plan, parts=tuple(parts))

    def may_suit(self, plan: Plan, kept: frozenset[Line], rhythm: Rhythm) -> bool:
        """Whether the rules that refutations have named so far leave pitches; where they do not, nothing does."""
        return not self.suspects or self._solves(plan, kept, rhythm, self.suspects)

    def refutes(self, rhythm: Rhythm) -> bool:
        """Whether the suspected rules alone are soon seen to leave all lines together no pitches for a rhythm."""
        if not self.suspects:
            return False
        try:
            model = self.pitches(self.plan, frozenset(self.lines), rhythm, names=self.suspects)
        except NoState:
            return True
        return status_of(new_solver(SOON), model.model, self.stopped) == cp_model.INFEASIBLE

    def _solves(self, plan: Plan, kept: frozenset[Line], rhythm: Rhythm, names: frozenset[str] | None = None) -> bool:
        try:
            model = self.pitches(plan, kept, rhythm, names=names)
        except NoState:
            return False
        return self._is_solved(model.model)

    def go_on(self) -> None:
        """Raise Undecided where it is to end."""
        if self.stopped():
            raise Undecided

    def _is_solved(self, model: cp_model.CpModel) -> bool:
        self.go_on()
        return is_solved(new_solver(), model, self.stopped)

    def pitches(
        self,
        plan: Plan,
        kept: frozenset[Line],
        rhythm: Rhythm,
        *,
        assumed: bool = False,
        placed: bool = False,
        names: frozenset[str] | None = None,
    ) -> ExplainingModel:
        """The model of the lines' rules on a rhythm, of those in ``names`` where they are given. Raises NoState."""
        keys = frozenset(line.key for line in kept)
        everyone = len(plan.parts) == len(self.plan.parts)

        def holds(rule: str, parts: frozenset[str]) -> bool:
            # A part of which nothing is asked may supply any chord tone.
            return (everyone or rule != coverage.NAME) and feeds(rule, parts, self.known) <= keys

        rules = [rule for rule in every_rule() if names is None or rule.name in names]
        rules = [rule for rule in rules if rule.name not in self.plan.excused]
        skeleton = skeleton_from(plan, rhythm)
        return ExplainingModel(plan, skeleton, rules, holds, assumed=assumed, placed=placed, asked=self._asked)

    def sample(self, plan: Plan, kept: frozenset[Line]) -> Iterator[Rhythm]:
        """A few different rhythms under the lines: the sparsest, the fullest, and some between. Raises Undecided."""
        if not plan.parts:
            yield {}
            return
        model = RhythmModel(plan, frozenset(line.key for line in kept), self.known)
        # Most lines have no say in rhythms: what is asked of them is often the same to the last constraint.
        known = self._sampled.setdefault((tuple(model.on), str(model.cp.proto)), [])
        seen: list[Rhythm] = []
        for number in range(SAMPLES):
            if number == len(known):
                known.append(_sampled(model, number))
            rhythm = known[number]
            if rhythm is None:
                return
            if rhythm not in seen and _admitted(model, rhythm):
                seen.append(rhythm)
                yield rhythm

    def has_rhythm(self, kept: frozenset[Line]) -> bool:
        """Whether any rhythm at all keeps the lines. Raises Undecided."""
        if not any(line.part for line in kept):
            return True
        keys = frozenset(line.key for line in kept)
        return self._is_solved(RhythmModel(relaxed(self.plan, kept, self.lines), keys, self.known).cp)

    # -- cores ------------------------------------------------------------------------------------------------

    def core(self, kept: frozenset[Line]) -> frozenset[Line]:
        """Lines that a refutation of ``kept`` names or rests on; all of them where nothing refutes it at once."""
        if kept not in self._cores:
            plan = relaxed(self.plan, kept, self.lines)
            self._cores[kept] = self._rhythm_core(plan, kept) if self.of_rhythm else self._pitch_core(plan, kept)
        return self._cores[kept]

    def _pitch_core(self, plan: Plan, kept: frozenset[Line]) -> frozenset[Line]:
        instances = self._refutation(plan, kept, self.rhythms[0])
        if not instances:
            return kept
        self.suspects |= STRUCTURAL | {instance.rule for instance in instances}
        keys = {key for one in instances for key in feeds(one.rule, one.parts, self.known)} | {("key", None)}
        parts = {part for instance in instances for part in instance.parts}
        keys |= {line.key for line in kept if line.part in parts and line.kind in SHAPES}
        return frozenset(line for line in kept if line.key in keys)

    def _rhythm_core(self, plan: Plan, kept: frozenset[Line]) -> frozenset[Line]:
        keys = frozenset(line.key for line in kept)
        model = RhythmModel(plan, keys, self.known, assumed=True)
        solver = new_solver(SHORT)
        if solver.solve(model.cp) != cp_model.INFEASIBLE:
            return frozenset(line for line in kept if line.kind in OF_RHYTHM)
        named = set(solver.sufficient_assumptions_for_infeasibility())
        found = [demand for demand, literal in model.assumptions.items() if literal.index in named]
        wanted = {key for demand in found for key in model.fed_by(demand.rule, demand.parts)}
        parts = {part for demand in found for part in demand.parts}
        return frozenset(line for line in kept if line.key in wanted or (line.part in parts and line.kind in SHAPES))


def _sampled(model: RhythmModel, number: int) -> Rhythm | None:
    """The rhythm of a number; None where there is none. Raises Undecided."""
    random = Random(number)
    worth = {0: lambda: -1, 1: lambda: 1}.get(number, lambda: random.randint(-3, 2))
    onsets = [literal for on in model.on.values() for literal in on]
    model.cp.maximize(cp_model.LinearExpr.weighted_sum(onsets, [worth() for _ in onsets]))
    solver = new_solver(SHORT)
    return model.read(solver.value) if is_solved(solver, model.cp) else None


def _admitted(model: RhythmModel, rhythm: Rhythm) -> bool:
    """What the rhythm model leaves out, by the rules themselves where they hold."""
    return all(
        rule.admits(model.plan, part, rhythm[part.name])
        for rule in every_rule()
        if rule.admits is not None
        for part in model.plan.parts
        if model.holds(rule.name, (part.name,))
    )
