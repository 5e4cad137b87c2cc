"""Minimal conflicts among the members of any set, over an oracle that says whether a subset can hold together.

Nothing here knows of music or of a solver. A conflict is minimal where its members cannot hold together, but can
without any one of them. Shrinking is by deletion, which asks the oracle once a member (Bakker, Dikker, Tempelman and
Wognum 1993); a core from the oracle's own refutation, where there is one, shortens the way.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

Member = TypeVar("Member", bound=Hashable)
Oracle = Callable[[frozenset[Member]], bool]
Core = Callable[[frozenset[Member]], Iterable[Member]]

MOST = 3  # conflicts that are shown


class NotMinimal(Exception):
    """The oracle contradicts itself: what it refused as a whole it refuses no more, or the other way about."""


def minimal_conflict(
    members: Sequence[Member],
    feasible: Oracle[Member],
    core: Core[Member] = lambda subset: subset,
    groups: Iterable[frozenset[Member]] = (),
) -> tuple[Member, ...]:
    """A minimal conflict among ``members``, in their order; empty where all of them can hold together.

    Members are tried for removal from the first to the last, so those that come last tend to stay; before that whole
    ``groups`` of them. ``core`` gives, for a subset that cannot hold together, members of it that cannot either; what
    it gives is tested and not believed.
    Raises NotMinimal where the result does not pass its verification.
    """
    kept = frozenset(members)
    if feasible(kept):
        return ()
    smaller = kept & frozenset(core(kept))
    if smaller != kept and not feasible(smaller):
        kept = smaller
    for group in groups:
        if group & kept and not feasible(kept - group):
            kept -= group
    for member in members:
        if member in kept and not feasible(kept - {member}):
            kept -= {member}
    verify(kept, feasible)
    return tuple(member for member in members if member in kept)


def verify(conflict: frozenset[Member], feasible: Oracle[Member]) -> None:
    """Raise NotMinimal unless the members cannot hold together, and can without any one of them."""
    if feasible(conflict):
        raise NotMinimal("the members can hold together")
    for member in conflict:
        if not feasible(conflict - {member}):
            raise NotMinimal(f"{member} is not needed")


def independent_conflicts(
    members: Sequence[Member],
    find: Callable[[Sequence[Member]], tuple[Member, ...]],
    shared: Callable[[Member], bool] = lambda member: False,
    most: int = MOST,
) -> list[tuple[Member, ...]]:
    """Up to ``most`` conflicts with no member in common, ``shared`` members excepted.

    ``find`` gives a minimal conflict among some members, empty where there is none. After each conflict its members
    are set aside, those that are shared only where it has no others.
    """
    found: list[tuple[Member, ...]] = []
    rest = list(members)
    while len(found) < most:
        conflict = find(rest)
        if not conflict:
            break
        found.append(conflict)
        own = {member for member in conflict if not shared(member)} or set(conflict)
        rest = [member for member in rest if member not in own]
    return found
