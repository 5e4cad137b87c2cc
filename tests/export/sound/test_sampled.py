"""Sampled sound: found or not found without it, and played with it."""

from __future__ import annotations

import sys
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest

from solver.arrangement import Arrangement, Note
from solver.export.sound.events import Event
from solver.export.sound.rendering import AIM, HIGHEST_PEAK, MODEL, Studio, render
from solver.export.sound.sampled import LIBRARY, STEP, SampledPlayer, _library, find_font, find_sampled
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import sample_plan
from tests.outside.test_string_tuning import INSTRUMENTS, MOST_CENTS, cents_off, equal_temperament

RATE = 44_100
FAINTEST = 10 ** (-70 / 20)


def test_an_empty_variable_keeps_to_the_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SENNIT_SOUNDFONT", "")
    assert find_font() is None
    assert find_sampled(RATE) is None
    plan = sample_plan("one-rope")
    assert render(plan, sample_arrangement(plan)).engine == MODEL


def test_a_font_that_is_not_there_is_none(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SENNIT_SOUNDFONT", str(tmp_path / "none.sf2"))
    assert find_font() is None


def test_what_the_library_prints_is_kept_back_and_nothing_that_others_print(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is imported in a thread beside the one that prints results: standard output stays where it is."""
    (tmp_path / f"{LIBRARY}.py").write_text("import sys\nOUT = sys.stdout\nprint('chatter', flush=True)\n")
    monkeypatch.syspath_prepend(tmp_path)
    with patch.dict(sys.modules):
        sys.modules.pop(LIBRARY, None)
        found = _library()
        assert found is not None
        assert found.OUT is sys.stdout
        assert capsys.readouterr().out == ""
        assert _library() is found


def test_without_a_library_there_is_none(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / f"{LIBRARY}.py").write_text("raise ImportError('no libfluidsynth')\n")
    monkeypatch.syspath_prepend(tmp_path)
    with patch.dict(sys.modules):
        sys.modules.pop(LIBRARY, None)
        assert _library() is None
        assert LIBRARY not in sys.modules


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
    assert audio.loudness == pytest.approx(AIM, abs=0.01)
    assert audio.true_peak <= HIGHEST_PEAK
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


@pytest.fixture(scope="module")
def tuned() -> SampledPlayer:
    return player()


@pytest.mark.sampled
@pytest.mark.parametrize("name", INSTRUMENTS)
def test_every_third_fret_of_every_instrument_is_in_tune(tuned: SampledPlayer, name: str) -> None:
    """As of the model: every note has a first partial, and it is where equal temperament wants it.

    Muted strings are heard for a fifth of a second, the highest for a tenth: theirs are measured early.
    """
    instrument = INSTRUMENTS[name]
    pitches = sorted({*range(instrument.low, instrument.high + 1, 3), instrument.high})
    gap = 640 * STEP
    events = [Event(index * gap, gap // 2, pitch, 100) for index, pitch in enumerate(pitches)]
    line = tuned.part(instrument.program, events, (len(pitches) + 4) * gap).astype(np.float64)
    muted = instrument.sound == "muted"
    for event in events:
        start, window = ((500, 1_536) if event.pitch > 74 else (1_500, 4_096)) if muted else (3_000, 8_192)
        wave = line[event.start : event.start + gap]
        halves = (wave[at : at + window] for at in (start, start + window // 2))
        assert min(first_partial(half, event.pitch) for half in halves) >= FAINTEST, event.pitch
        assert abs(cents_off(wave, event.pitch, start, window)) < MOST_CENTS, event.pitch


def first_partial(piece: np.ndarray, pitch: int) -> float:
    turn = np.exp(-2j * np.pi * equal_temperament(pitch) / RATE * np.arange(len(piece)))
    return float(np.abs(np.mean(piece * np.hanning(len(piece)) * turn)))


@pytest.mark.sampled
def test_notes_that_share_a_key_sound_together_as_they_do_alone(tuned: SampledPlayer) -> None:
    """The font's muted guitar has no pitch from E flat 4 up: what is struck there is a lower key."""
    low, high, higher = Event(0, 6_400, 62, 90), Event(0, 6_400, 69, 90), Event(12_800, 6_400, 74, 90)
    muted = INSTRUMENTS["muted electric guitar"].program
    together = tuned.part(muted, [low, high, higher], 44_100)
    alone = [tuned.part(muted, [event], 44_100) for event in (low, high, higher)]
    assert np.abs(together - np.sum(alone, axis=0)).max() < 2**-20
    levels = [20 * np.log10(np.sqrt(np.mean(line**2))) for line in alone]
    assert max(levels) - min(levels) < 12


@pytest.mark.sampled
def test_one_note_of_a_loop_is_heard_in_its_part_alone() -> None:
    plan = sample_plan("ferry-lights")
    audio = Studio(plan, RATE, player()).render(Arrangement((Note("low", 0, 8, 47),)))
    assert audio.stems["low"].any()
    assert not audio.stems["lead"].any()
