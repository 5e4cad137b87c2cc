"""Model strings and samples alike: what every sound of a loop has to keep."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID
from solver.export.sound.rendering import MODEL, Studio
from solver.export.sound.sampled import find_sampled
from tests.export.sample_plans import sample_plan
from tests.outside.test_string_tuning import cents_off

RATE = 44_100
ENGINES = ("model", pytest.param("sampled", marks=pytest.mark.sampled))
CENTS = 3.0


@cache
def studio(engine: str) -> Studio:
    """A studio on the grid; samples are found where the test is marked for them, and only there."""
    made = Studio(replace(sample_plan("ferry-lights"), feel=GRID), RATE, find_sampled(RATE))
    assert (made.engine == MODEL) == (engine == "model")
    return made


@pytest.mark.parametrize("engine", ENGINES)
def test_a_loop_of_long_notes_has_no_seam_no_dc_and_is_the_same_again(engine: str) -> None:
    room = studio(engine)
    notes = Arrangement((Note("lead", 0, 8, 71), Note("lead", 120, 8, 66), Note("low", 112, 16, 47)))
    audio = room.render(notes)
    mix = audio.mix.astype(np.float64)
    bends = np.abs(np.diff(np.concatenate([mix, mix[:2]]), n=2, axis=0)).max(axis=1)
    assert bends[-2:].max() <= np.quantile(bends, 0.9999)
    assert np.abs(mix.mean(axis=0)).max() < 1e-5
    assert np.abs(mix[:100]).max() > 1e-4  # the tails of the end sound on at the start
    assert np.array_equal(room.render(notes).mix, audio.mix)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("part", ["lead", "low", "middle"])
def test_notes_end_without_a_click(engine: str, part: str) -> None:
    """At its end a note bends no more than it did while it was sounding."""
    room = studio(engine)
    dry = room.render(Arrangement((Note(part, 16, 8, 59),))).dry[part].mean(axis=1).astype(np.float64)
    start, end = (round(slot * len(dry) / room.plan.slots) for slot in (16, 24))
    bends = np.abs(np.diff(dry, n=2))
    assert bends[end - 200 : end + 8000].max() < 1.2 * bends[start + 200 : end - 200].max()
    assert np.abs(dry[end + 2 * RATE : end + 3 * RATE]).max() < 0.01 * np.abs(dry).max()


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("pitch", [45, 52, 64, 71])
def test_notes_sound_the_pitch_that_is_written(engine: str, pitch: int) -> None:
    room = studio(engine)
    audio = room.render(Arrangement((Note("lead", 32, 16, pitch),)))
    start = round(32 * len(audio.mix) / room.plan.slots)
    assert abs(cents_off(audio.dry["lead"].mean(axis=1), pitch, start + 3_000, 8_192)) < CENTS
