"""Whole loops: stems, mix, level, seam, sameness."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pyloudnorm
import pytest
import soundfile

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID
from solver.export.sound.events import loop_samples
from solver.export.sound.rendering import AIM, HIGHEST_PEAK, MODEL, Rendering, Studio, render
from solver.export.sound.wave import wav_bytes
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import sample_plan

NAMES = ("ferry-lights", "harbour-waltz", "one-rope")


@pytest.fixture(scope="module", params=NAMES)
def rendered(request: pytest.FixtureRequest) -> tuple[str, Rendering]:
    plan = sample_plan(request.param)
    return request.param, Studio(plan).render(sample_arrangement(plan))


def test_stems_and_mix_have_exactly_the_loops_length(rendered: tuple[str, Rendering]) -> None:
    name, audio = rendered
    plan = sample_plan(name)
    assert list(audio.stems) == [part.name for part in plan.parts]
    for sound in (audio.mix, *audio.stems.values()):
        assert sound.shape == (loop_samples(plan, 44_100), 2)
        assert np.isfinite(sound).all()
    assert audio.engine == MODEL


def test_the_mix_is_the_sum_of_the_stems_to_within_a_step_of_24_bits(rendered: tuple[str, Rendering]) -> None:
    audio = rendered[1]
    total = np.sum([stem.astype(np.float64) for stem in audio.stems.values()], axis=0)
    assert np.abs(total - audio.mix).max() < 2**-23


def test_it_is_as_loud_as_asked_and_peaks_no_higher_than_allowed(rendered: tuple[str, Rendering]) -> None:
    audio = rendered[1]
    assert audio.loudness == pytest.approx(AIM, abs=0.01)
    assert audio.true_peak <= HIGHEST_PEAK


def test_previews_of_one_take_are_equally_loud() -> None:
    """Read back from their files, as a player that knows no loops would measure them."""
    plan = sample_plan("ferry-lights")
    room = Studio(plan)
    found = []
    for seed in range(3):
        audio, rate = soundfile.read(io.BytesIO(wav_bytes(room.preview(sample_arrangement(plan, seed)), room.rate)))
        assert audio.shape == (loop_samples(plan, rate), 2)
        found.append(pyloudnorm.Meter(rate).integrated_loudness(audio))
    assert found == pytest.approx([AIM] * 3, abs=0.2)
    assert max(found) - min(found) <= 0.2


def test_a_loop_whose_peaks_are_too_high_for_that_is_as_loud_as_they_allow() -> None:
    audio = Studio(sample_plan("ferry-lights")).render(Arrangement((Note("middle", 0, 1, 59),)))
    assert audio.true_peak == pytest.approx(HIGHEST_PEAK, abs=0.01)
    assert audio.loudness < AIM - 0.2


def test_no_stem_has_dc_or_is_silent(rendered: tuple[str, Rendering]) -> None:
    for stem in rendered[1].stems.values():
        assert np.abs(stem.mean(axis=0)).max() < 1e-5
        assert np.sqrt(np.mean(stem**2)) > 0.001


def test_the_seam_is_as_smooth_as_the_rest(rendered: tuple[str, Rendering]) -> None:
    """Around the loop, the step from the last sample to the first is no larger than steps between others."""
    mix = rendered[1].mix.astype(np.float64)
    bends = np.abs(np.diff(np.concatenate([mix, mix[:2]]), n=2, axis=0)).max(axis=1)
    assert bends[-2:].max() <= np.quantile(bends, 0.9999)


def test_the_loop_equals_the_second_pass_of_playing_it_twice() -> None:
    """A loop written out twice and rendered as one long loop is the loop, twice: nothing is lost at the seam."""
    # So that the loop is a whole number of samples, and that both passes are played alike.
    plan = replace(sample_plan("ferry-lights"), tempo=120.0, feel=GRID)
    notes = sample_arrangement(plan).notes
    again = tuple(replace(note, onset=note.onset + plan.slots) for note in notes)
    shifted = tuple(replace(span, start=span.start + plan.slots, end=span.end + plan.slots) for span in plan.spans)
    double = replace(plan, bars=2 * plan.bars, spans=plan.spans + shifted)
    once = Studio(plan).render(Arrangement(notes))
    twice = Studio(double).render(Arrangement(notes + again))
    samples = len(once.mix)
    assert len(twice.mix) == 2 * samples
    quiet = 10 ** (-60 / 20)
    # Velocities follow the bar within eight, so both passes are struck alike.
    assert np.abs(twice.mix[samples:] / twice.gain - once.mix / once.gain).max() < quiet
    assert np.abs(twice.mix[:samples] / twice.gain - once.mix / once.gain).max() < quiet


def test_a_note_ends_without_a_click() -> None:
    plan = sample_plan("ferry-lights")
    audio = Studio(plan).render(Arrangement((Note("low", 0, 8, 47),)))
    stem = audio.stems["low"].mean(axis=1).astype(np.float64)
    end = round(8 * len(stem) / plan.slots)
    bends = np.abs(np.diff(stem, n=2))
    before, after = bends[end - 8000 : end - 2000].max(), bends[end - 200 : end + 8000].max()
    assert after < 1.5 * before
    assert np.abs(stem[end + 44_100 * 2 :]).max() < 0.01 * np.abs(stem).max()


def test_notes_longer_than_the_loop_go_round_and_round() -> None:
    plan = sample_plan("one-rope")
    audio = Studio(plan).render(Arrangement((Note("lead", 12, 40, 55),)))
    assert np.isfinite(audio.mix).all()
    assert np.abs(audio.mix[: len(audio.mix) // 2]).max() > 0.05


def test_silence_stays_silence() -> None:
    audio = Studio(sample_plan("one-rope")).render(Arrangement(()))
    assert not audio.mix.any()
    assert audio.gain == 1.0
    assert audio.loudness == -np.inf


def test_equal_input_gives_equal_bytes_whatever_was_rendered_before() -> None:
    plan = sample_plan("harbour-waltz")
    first, second = sample_arrangement(plan, 1), sample_arrangement(plan, 2)
    fresh, used = Studio(plan), Studio(plan)
    used.preview(first)
    assert wav_bytes(fresh.preview(second), 44_100) == wav_bytes(used.preview(second), 44_100)


def test_the_preview_is_the_mix_but_for_rounding(rendered: tuple[str, Rendering]) -> None:
    name, audio = rendered
    plan = sample_plan(name)
    assert np.abs(Studio(plan).preview(sample_arrangement(plan)) - audio.mix).max() < 2**-16


def test_parts_stand_apart_and_the_middle_holds() -> None:
    plan = sample_plan("ferry-lights")
    audio = render(plan, sample_arrangement(plan))
    side = {name: float(np.log2(np.std(stem[:, 0]) / np.std(stem[:, 1]))) for name, stem in audio.stems.items()}
    assert side["lead"] < 0 or side["middle"] < 0
    assert side["lead"] * side["middle"] < 0
    assert all(abs(value) < 1.6 for value in side.values())
    assert abs(side["low"]) < 0.25


def test_another_rate_sounds_for_the_same_time() -> None:
    plan = sample_plan("one-rope")
    audio = render(plan, sample_arrangement(plan), rate=48_000)
    assert len(audio.mix) == round(1.2 * 48_000)
    assert audio.rate == 48_000
