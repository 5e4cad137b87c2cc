"""From a plan to several ranked arrangements: skeletons solved side by side, kept apart, ranked.

Nothing depends on the clock unless ``seconds`` is given, and nothing on the number of cores: results are looked at in
the skeletons' order, and as many skeletons are begun ahead as arrangements are still wanted. Sketches alone, the
solutions on the way to a skeleton's best, are told of as they come.
"""

from __future__ import annotations

import math
import os
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from itertools import chain

from solver.arrangement import Arrangement, Ranked
from solver.brief.plan import Plan
from solver.check import breaches, told_apart
from solver.heard import Heard
from solver.rhythm.family_size import are_all, family_size
from solver.rhythm.skeleton import Skeleton
from solver.rhythm.skeletons import NoRhythm, every_rhythm, skeletons
from solver.search.clearest import clearest_first
from solver.search.comparing import compare
from solver.search.excuses import broken_by_held, is_witness
from solver.search.line_bounds import Rhythm
from solver.search.outcome import BrokenRule, NoArrangement, Outcome, Progress, Why
from solver.search.portrait import portraits
from solver.search.scale import UNIT, Scale
from solver.search.solve import LIMIT, Solved, Watch, solve_skeleton
from solver.search.sweep import compared_in_words
from solver.search.variety import USUAL, Variety, is_apart, post_apart

# Skeletons tried without success before the search gives up, and at most for each arrangement that is asked for.
TRIED_IN_VAIN = 36
TRIED_EACH = 4

# Points that a sketch has gained before it is told of again, for each is held against all rules.
GAIN = 4
# Skeletons tried without success before it asks why, and after how many more it stops to ask.
ASKS_AFTER = 2
ASKS_UP_TO = 6


def arrange(
    plan: Plan,
    *,
    count: int | None = None,
    seed: int | None = None,
    seconds: float | None = None,
    cores: int | None = None,
    limit: float = LIMIT,
    variety: Variety = USUAL,
    rhythms: Iterable[Skeleton] | None = None,
    compared: int | None = None,
    reasons: Callable[[Callable[[], bool]], Why] | None = None,
    on_progress: Callable[[Progress], None] = lambda progress: None,
    on_arrangement: Callable[[Ranked], None] = lambda ranked: None,
    on_sketch: Callable[[int, Ranked], None] | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Outcome:
    """``count`` arrangements, different enough to be worth hearing, or as many as exist.

    ``variety`` says what else they have to differ from, ``rhythms`` which rhythms to try in place of all. ``compared``
    is a number of rhythms to search through for the best: slower, but the remarks then say how good they are among all.
    Where the first rhythms have nothing, ``reasons`` are made (given what says that time is up) and asked of each other
    rhythm before that is tried. ``limit`` is the deterministic time for one rhythm. ``seconds`` limits the wait and
    gives up sameness; ``stop`` is asked often and ends the search with what is done. ``on_sketch`` is told, from any
    thread, of valid arrangements before they are the best of their rhythm: the rhythm's number (from 0) and what it is
    so far, each time it has gained four points or more. The first comes within a second; in which order they come is no
    promise.
    Raises NoArrangement where there is none, BrokenRule for an error of this program.
    """
    deadline = None if seconds is None else time.monotonic() + seconds
    watch = Watch(lambda: stop() or (deadline is not None and time.monotonic() >= deadline))
    search = _Search(plan, count or plan.count, limit, variety, watch, on_progress, on_arrangement, on_sketch, reasons)
    try:
        seed = plan.seed if seed is None else seed
        stream = iter(rhythms or skeletons(plan, seed, lambda: watch.stopped))
        if rhythms is None and plan.avoid.sources:
            stream = clearest_first(plan, stream)
        if plan.held and not any(is_witness(plan, old) for old in variety.seen[:1]):
            first = next(stream)
            search.plan = replace(plan, excused=broken_by_held(plan, first, watch))
            stream = chain([first], stream)
        if compared is None:
            search.run(stream, cores or os.cpu_count() or 1)
        else:
            search.compare(every_rhythm(plan, seed, compared, lambda: watch.stopped), cores or os.cpu_count() or 1)
        search.settle()
    except NoRhythm as error:
        if not watch.stopped:
            raise NoArrangement(str(error), plan=plan, every=error.every) from None
    finally:
        watch.close()
    return search.outcome(interrupted=watch.stopped, own=rhythms is None)


@dataclass
class _Search:
    plan: Plan
    count: int
    limit: float
    variety: Variety
    watch: Watch
    on_progress: Callable[[Progress], None]
    on_arrangement: Callable[[Ranked], None]
    on_sketch: Callable[[int, Ranked], None] | None
    reasons: Callable[[Callable[[], bool]], Why] | None
    why: Why | None = None
    kept: list[Ranked] = field(default_factory=list)
    tried: list[Skeleton] = field(default_factory=list)
    vain: list[Skeleton] = field(default_factory=list)  # those tried in full, while nothing is found
    ended: bool = False  # whether there are no more skeletons
    begun: int = 0
    open: int = 0  # of those begun, how many are being solved or wait for a core
    undecided: int = 0
    unsettled: list[Skeleton] = field(default_factory=list)  # those of which it is not known
    best: int | None = None
    compared: str = ""
    settled: int | None = None  # rhythms that are settled, where many are compared
    sketched: dict[int, int] = field(default_factory=dict)  # a skeleton's number -> total of its newest sketch
    lock: threading.Lock = field(default_factory=threading.Lock)

    def run(self, stream: Iterable[Skeleton], cores: int) -> None:
        source = iter(stream)
        solved: list[Skeleton] = []
        ahead: deque[tuple[Skeleton, Future[Solved] | None]] = deque()  # None: it is known to have nothing
        with ThreadPoolExecutor(max_workers=cores) as pool:
            while True:
                while len(self.kept) + len(ahead) < self.count and not self._enough_begun():
                    skeleton = next(source, None)
                    if skeleton is None:
                        self.ended = True
                        break
                    known = self._refutes(skeleton)
                    ahead.append((skeleton, None if known else self._submitted(pool, skeleton)))
                    self.begun += 1
                if not ahead:
                    break
                skeleton, future = ahead.popleft()
                self.tried.append(skeleton)
                if future is None:
                    self._tell()
                    continue
                result = future.result()
                solved += [skeleton] if result.arrangement is not None else []
                self._take(result)
                if self._learns_from(result):
                    ahead = deque(self._still_open(ahead))
        self._vary(solved)

    def _vary(self, solved: Sequence[Skeleton]) -> None:
        """Where the rhythms have run out: other melodies on the same rhythms, one after the other."""
        fresh = True
        while fresh and solved and len(self.kept) < self.count and not self.watch.stopped:
            fresh = False
            for number, skeleton in enumerate(solved):
                if len(self.kept) < self.count and not self.watch.stopped:
                    before = len(self.kept)
                    self._take(self._solve(skeleton, number, [ranked.arrangement for ranked in self.kept]))
                    fresh = fresh or len(self.kept) > before

    def _submitted(self, pool: ThreadPoolExecutor, skeleton: Skeleton) -> Future[Solved]:
        with self.lock:
            self.open += 1
        future = pool.submit(self._solve, skeleton, self.begun)
        future.add_done_callback(self._closed)
        return future

    def _closed(self, future: Future[Solved]) -> None:
        with self.lock:
            self.open -= 1
        self._tell()

    def _learns_from(self, result: Solved) -> bool:
        """Whether anything new is known after a skeleton without any arrangement."""
        if self.reasons is None or self.kept or self.watch.stopped:
            return False
        if result.arrangement is not None or not result.decided:
            return False
        self.vain.append(result.skeleton)
        if not ASKS_AFTER <= len(self.vain) < ASKS_AFTER + ASKS_UP_TO:
            return False
        watch = self.watch  # alone: reasons that refer to the search would be kept until cycles are collected
        self.why = self.why or self.reasons(lambda: watch.stopped)
        self.why.learn(self.plan, self.vain)
        return True

    def _still_open(
        self, ahead: Iterable[tuple[Skeleton, Future[Solved] | None]]
    ) -> Iterator[tuple[Skeleton, Future[Solved] | None]]:
        """What is ahead, without what is known by now to have nothing."""
        for skeleton, future in ahead:
            if future is not None and self._refutes(skeleton):
                future.cancel()
                future = None
            yield skeleton, future

    def _refutes(self, skeleton: Skeleton) -> bool:
        return self.why is not None and not self.kept and self.why.refutes(skeleton)

    def settle(self) -> None:
        """Ask of what stayed open too, where there is nothing: what was learnt since may say that it has nothing."""
        self.undecided -= sum(map(self._refutes, self.unsettled))

    def compare(self, rhythms: Sequence[Rhythm], cores: int) -> None:
        """Keep the best of many rhythms, and say what none of them can exceed."""
        self.begun = len(rhythms)

        def solve(skeleton: Skeleton, number: int, above: int | None, share: float, scale: Scale) -> Solved:
            return self._solve(skeleton, number, above=above, share=share, scale=scale)

        def on_solved(skeleton: Skeleton, settled: int) -> None:
            self.tried.append(skeleton)
            self.settled = settled
            self._tell()

        swept = compare(self.plan, rhythms, solve, self._are_enough, self.watch, cores, on_solved)
        for solved in swept.found:
            self._take(solved)
        self.undecided, self.settled = swept.undecided, len(rhythms)
        self._vary([solved.skeleton for solved in swept.found])
        if self.kept and not self.watch.stopped:
            best = max(ranked.total for ranked in self.kept)
            self.compared = compared_in_words(len(rhythms), family_size(self.plan), swept.ceiling / UNIT - best)

    def _are_enough(self, found: Sequence[Solved]) -> bool:
        """Whether the best of what is found, each apart from those before, are as many as are asked for."""
        chosen: list[Arrangement] = []
        for solved in found:
            if solved.arrangement is not None and is_apart(self.plan, solved.arrangement, chosen, self.variety):
                chosen.append(solved.arrangement)
        return len(chosen) >= self.count

    def _enough_begun(self) -> bool:
        most = TRIED_EACH * self.count if self.kept else TRIED_IN_VAIN
        return self.watch.stopped or self.begun >= most

    def _solve(
        self,
        skeleton: Skeleton,
        number: int,
        apart_from: list[Arrangement] | None = None,
        above: int | None = None,
        share: float = 1.0,
        scale: Scale | None = None,
    ) -> Solved:
        return solve_skeleton(
            self.plan,
            skeleton,
            self.watch,
            limit=share * self.limit,
            above=above,
            scale=scale,
            found=lambda total, scale, notes: self._found(number, total, scale, notes),
            extra=lambda model: post_apart(model, apart_from or [], self.variety),
        )

    def _found(self, number: int, total: int, scale: Scale, notes: Callable[[], Arrangement]) -> None:
        with self.lock:
            if self.best is None or total > self.best:
                self.best = total
        self._tell()
        if self.on_sketch is not None and total >= self.sketched.get(number, -math.inf) + GAIN * UNIT:
            self.sketched[number] = total
            arrangement = notes()
            if not breaches(self.plan, arrangement):
                marks = scale.marks(Heard(self.plan, arrangement))
                self.on_sketch(number, Ranked(arrangement, total / UNIT, 100.0, False, marks))

    def _tell(self) -> None:
        best = None if self.best is None else self.best / UNIT
        done = len(self.tried) if self.settled is None else self.settled
        self.on_progress(Progress(done, self.begun, best, len(self.kept), self.open))

    def _take(self, solved: Solved) -> None:
        if not solved.decided:
            self.undecided += 1
            self.unsettled.append(solved.skeleton)
        if solved.arrangement is not None and solved.scale is not None and len(self.kept) < self.count:
            broken, excused = told_apart(self.plan, breaches(self.plan, solved.arrangement), solved.excused)
            for breach in broken:
                if breach.rule not in solved.excused:
                    raise BrokenRule(breach.line(self.plan))
            if not broken and is_apart(
                self.plan, solved.arrangement, [ranked.arrangement for ranked in self.kept], self.variety
            ):
                marks = solved.scale.marks(Heard(self.plan, solved.arrangement))
                totals = solved.total / UNIT, solved.bound / UNIT
                ranked = Ranked(solved.arrangement, *totals, solved.proved, marks, excused=excused)
                self.kept.append(ranked)
                self.on_arrangement(ranked)
        self._tell()

    def outcome(self, interrupted: bool, own: bool) -> Outcome:
        tried = len(self.tried) if self.settled is None or not self.kept else self.settled
        where = "1 rhythm" if tried == 1 else f"{tried} rhythms"
        if not self.kept:
            if interrupted:
                return Outcome((), tried, self.undecided, False, True)
            apart = " and is as far from others as asked" if self.variety.seen else ""
            every = own and self.ended and are_all(self.plan, (skeleton.onsets for skeleton in self.tried))
            message = f"no arrangement in {where} keeps every rule{apart}"
            raise NoArrangement(message, self.undecided, self.plan, self.tried, every, self.why)
        order = sorted(range(len(self.kept)), key=lambda index: (-self.kept[index].total, index))
        ranked = [self.kept[index] for index in order]
        sentences = portraits(self.plan, [entry.arrangement for entry in ranked])
        finished = tuple(replace(entry, summary=sentence) for entry, sentence in zip(ranked, sentences, strict=True))
        fewer = len(finished) < self.count and not interrupted
        remarks = (f"only {len(finished)} of {self.count} arrangements: no more are far enough apart",) if fewer else ()
        return Outcome(finished, tried, self.undecided, fewer, interrupted, remarks, self.compared)
