"""The cache of stems."""

from __future__ import annotations

import pytest

from solver.page.sound import SoundCache
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import sample_plan

PLAN = sample_plan("one-rope")
NOTES = sample_arrangement(PLAN)


def test_equal_requests_are_rendered_once_and_leave_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    rendered: list[object] = []
    monkeypatch.setattr(SoundCache, "_rendered", lambda cache, *asked: rendered.append(asked) or {"rope": b"sound"})
    cache = SoundCache()
    assert [cache.stems(PLAN, NOTES) for _ in range(3)] == [{"rope": b"sound"}] * 3
    assert len(rendered) == 1
    assert not cache._making  # no lock is kept for what is there


def test_a_request_that_fails_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(cache: SoundCache, *asked: object) -> None:
        raise MemoryError

    monkeypatch.setattr(SoundCache, "_rendered", broken)
    cache = SoundCache()
    with pytest.raises(MemoryError):
        cache.stems(PLAN, NOTES)
    assert not cache._making
