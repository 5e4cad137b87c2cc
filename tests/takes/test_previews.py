"""Previews rendered ahead are the very files that are rendered at the end; nothing begins before a core is free."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.brief.planning import plan_from_text
from solver.export.sound import rendering
from solver.export.sound.sampled import VARIABLE
from solver.take import TakeHeader, open_take, read_take
from solver.takes.previews import PREVIEW, Previews
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import ONE_ROPE

PLAN = plan_from_text(ONE_ROPE, "one-rope")
FOUND = sample_ranked(PLAN, 2)


@pytest.fixture(autouse=True)
def _string_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "")


def test_a_take_is_the_same_whether_its_sound_was_made_ahead_or_at_the_end(tmp_path: Path) -> None:
    made = []
    for ahead in (False, True):
        folder = tmp_path / f"{ahead}"
        with open_take(folder, TakeHeader("one-rope", ONE_ROPE, 0), PLAN) as take:
            take.add(FOUND[1])  # found first, ranked second
            if ahead:
                take.render_ahead()
            take.add(FOUND[0])
            made.append(take.finish(FOUND))
        assert list(folder.glob(f".unfinished-*/{PREVIEW}*")) == []
    plain, early = ({path.name: path.read_bytes() for path in folder.iterdir()} for folder in made)
    assert plain == early
    assert len(read_take(made[1]).arrangements) == 2


def test_nothing_is_rendered_before_it_begins_and_each_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rendered = []
    whole = rendering.Studio.preview
    monkeypatch.setattr(
        rendering.Studio, "preview", lambda studio, one: rendered.append(one) or whole(studio, one), raising=True
    )
    first, second = (ranked.arrangement for ranked in FOUND)
    previews = Previews(tmp_path, PLAN)
    previews.add(first)
    previews.end()
    assert rendered == []
    previews.begin()
    previews.add(first)
    previews._files[first].result()
    previews.end()
    previews.write(second, tmp_path / "second.wav")
    previews.write(first, tmp_path / "first.wav")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["first.wav", "second.wav"]
    assert rendered == [first, second]
    assert (tmp_path / "first.wav").read_bytes() != (tmp_path / "second.wav").read_bytes()


def test_what_went_wrong_ahead_is_told_when_the_take_is_written(tmp_path: Path) -> None:
    previews = Previews(tmp_path / "no such folder", PLAN)
    (one,) = (ranked.arrangement for ranked in FOUND[:1])
    previews.add(one)
    previews.begin()
    previews._files[one].exception()
    previews.end()
    with pytest.raises(OSError):  # noqa: PT011 - which of them is the system's to say
        previews.write(one, tmp_path / "1.wav")
