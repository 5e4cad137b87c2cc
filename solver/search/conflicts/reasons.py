"""What is known of why a brief has no arrangement while the search still goes on.

Once the first rhythms have turned out to have none, their conflict is sought. It then tells of most other rhythms at
once that they have none either: a question about a few lines, where to try such a rhythm is a question about them all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from solver.brief.plan import Plan
from solver.brief.source import Source
from solver.rhythm.skeleton import Skeleton
from solver.search.conflicts.conflicts import Tried, first_conflict
from solver.search.conflicts.finder import NotMinimal
from solver.search.conflicts.lines import Line, lines_of
from solver.search.conflicts.oracle import Oracle, Rhythm
from solver.search.conflicts.questions import Undecided


class Reasons:
    """A conflict of a brief that grows with the rhythms it is learnt from; ``stopped`` ends all questions."""

    def __init__(self, source: Source, stopped: Callable[[], bool] = lambda: False) -> None:
        self._source = source
        self._stopped = stopped
        self._conflict: tuple[Line, ...] = ()
        self.oracle: Oracle | None = None

    def learn(self, plan: Plan, skeletons: Sequence[Skeleton]) -> None:
        """Find the lines that leave none of these skeletons an arrangement; what cannot be told is not learnt."""
        rhythms = tuple(skeleton.onsets for skeleton in skeletons)
        try:
            self._conflict = first_conflict(self.about(plan, rhythms), Tried(rhythms, False))
        except (Undecided, NotMinimal):
            self._conflict = ()

    def about(self, plan: Plan, rhythms: Sequence[Rhythm]) -> Oracle:
        """The oracle that knows all that was learnt; without that, one of the first rhythm."""
        if self.oracle is None:
            self.oracle = Oracle(plan, lines_of(self._source, plan), rhythms[:1], self._stopped)
        return self.oracle

    def refutes(self, skeleton: Skeleton) -> bool:
        """Whether the conflict says that a skeleton has no arrangement."""
        if not self._conflict or self.oracle is None:
            return False
        try:
            return not self.oracle.holds_on(frozenset(self._conflict), skeleton.onsets)
        except Undecided:
            return False
