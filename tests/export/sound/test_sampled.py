"""Sampled sound: found or not found without it, and played with it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from solver.arrangement import Arrangement, Note
from solver.export.sound.events import Event
from solver.export.sound.rendering import AIM, HIGHEST_PEAK, MODEL, Studio, render
from solver.export.sound.sampled import SampledPlayer, find_font, find_sampled
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import sample_plan

RATE = 44_100


def test_an_empty_variable_keeps_to_the_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SENNIT_SOUNDFONT", "")
    assert find_font() is None
    assert find_sampled(RATE) is None
    plan = sample_plan("one-rope")
    assert render(plan, sample_arrangement(plan)).engine == MODEL


def test_a_font_that_is_not_there_is_none(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SENNIT_SOUNDFONT", str(tmp_path / "none.sf2"))
    assert find_font() is None


def player() -> SampledPlayer:
    found = find_sampled(RATE)
    assert found is not None
    return found


@pytest.mark.sampled
def test_a_file_that_is_no_font_falls_back_to_the_model(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "broken.sf2").write_bytes(b"no font")
    monkeypatch.setenv("SENNIT_SOUNDFONT", str(tmp_path / "broken.sf2"))
    assert find_sampled(RATE) is None


@pytest.mark.sampled
def test_the_engine_names_the_font() -> None:
    font = find_font()
    assert font is not None
    assert player().engine == f"sampled sound ({font.resolve().name})"


@pytest.mark.sampled
def test_a_sampled_loop_has_length_level_and_sum_like_any_other() -> None:
    plan = sample_plan("harbour-waltz")
    audio = Studio(plan, RATE, player()).render(sample_arrangement(plan))
    total = np.sum([stem.astype(np.float64) for stem in audio.stems.values()], axis=0)
    assert np.abs(total - audio.mix).max() < 2**-23
    assert audio.loudness == pytest.approx(AIM, abs=0.01) or audio.true_peak == pytest.approx(HIGHEST_PEAK, abs=0.01)
    assert all(np.sqrt(np.mean(stem**2)) > 0.001 for stem in audio.stems.values())


@pytest.mark.sampled
def test_sampled_sound_is_the_same_whatever_was_played_before() -> None:
    events = [Event(1000, 20_000, 52, 90), Event(15_000, 12_000, 59, 70)]
    fresh, used = player(), player()
    used.part(33, [Event(0, 50_000, 40, 100)], 60_000)
    assert np.array_equal(fresh.part(25, events, 60_000), used.part(25, events, 60_000))


@pytest.mark.sampled
def test_a_note_past_the_end_sounds_on_at_the_start() -> None:
    line = player().part(25, [Event(40_000, 8_000, 52, 100)], 44_100)
    assert np.sqrt(np.mean(line[:3_000] ** 2)) > 0.2 * np.sqrt(np.mean(line[41_000:] ** 2))
    assert np.abs(line[30_000:39_000]).max() < 0.5 * np.abs(line).max()


@pytest.mark.sampled
@pytest.mark.parametrize("program", [24, 25, 27, 28, 33])
def test_every_program_sounds_the_pitch_that_is_written(program: int) -> None:
    """The font's own tuning is not ours to mend: some of its samples lie 20 cents off. A wrong key would show here."""
    line = player().part(program, [Event(0, 40_000, 45, 100)], 60_000).astype(np.float64)
    piece = line[4_000:30_000] * np.hanning(26_000)
    spectrum = np.abs(np.fft.rfft(piece, 1 << 19))
    freqs = np.fft.rfftfreq(1 << 19, 1 / RATE)
    near = (freqs > 110 * 0.96) & (freqs < 110 * 1.04)
    found = freqs[near][np.argmax(spectrum[near])]
    assert abs(1200 * np.log2(found / 110)) < 30


@pytest.mark.sampled
def test_one_note_of_a_loop_is_heard_in_its_part_alone() -> None:
    plan = sample_plan("ferry-lights")
    audio = Studio(plan, RATE, player()).render(Arrangement((Note("low", 0, 8, 47),)))
    assert audio.stems["low"].any()
    assert not audio.stems["lead"].any()
