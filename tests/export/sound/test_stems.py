"""Stems for the hand-over: sums, lengths, seams, and what rings out."""

from __future__ import annotations

import numpy as np
import pytest

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.export.sound.events import loop_samples
from solver.export.sound.loudness import loop_true_peak
from solver.export.sound.rendering import AIM, HIGHEST_PEAK
from solver.export.sound.sampled import VARIABLE
from solver.export.sound.stems import Audio, StemSet, audio_of
from solver.export.sound.wave import FULL_SCALE_24
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import HARBOUR_WALTZ, sample_plan


def waltz() -> Plan:
    return plan_from_text(HARBOUR_WALTZ.replace("bars = 8", "bars = 4"), "harbour-waltz")


@pytest.fixture(scope="module", params=[44_100, 48_000])
def audio(request: pytest.FixtureRequest) -> Audio:
    plan = waltz()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, "")  # model strings, whatever fonts the machine has
        return audio_of(plan, sample_arrangement(plan), request.param, tail=True)


def sets(audio: Audio) -> list[StemSet]:
    found = [audio.wet, audio.dry, audio.tail, audio.dry_tail]
    assert all(found)
    return [each for each in found if each]


def test_every_mix_is_exactly_the_sum_of_its_stems(audio: Audio) -> None:
    for each in sets(audio):
        assert np.array_equal(each.mix, np.sum([stem.astype(np.int64) for stem in each.stems.values()], axis=0))
        assert all(np.abs(wave).max() < FULL_SCALE_24 for wave in (each.mix, *each.stems.values()))
        assert all(stem.any() for stem in each.stems.values())


def test_loops_have_exactly_the_loop_s_length_at_their_rate(audio: Audio) -> None:
    samples = loop_samples(waltz(), audio.rate)
    for each in (audio.wet, audio.dry):
        assert {stem.shape for stem in (each.mix, *each.stems.values())} == {(samples, 2)}


def test_the_level_is_the_preview_s(audio: Audio) -> None:
    assert audio.loudness == pytest.approx(AIM, abs=0.05)


def test_no_file_peaks_above_the_highest_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the loop with its room is at the ceiling, the one without and what rings out stay below it too."""
    monkeypatch.setenv(VARIABLE, "")
    monkeypatch.setattr("solver.export.sound.rendering.AIM", 0.0)
    plan = sample_plan("one-rope")
    loud = audio_of(plan, sample_arrangement(plan), 44_100, tail=True)
    peaks = [loop_true_peak(wave / FULL_SCALE_24) for each in sets(loud) for wave in (each.mix, *each.stems.values())]
    assert max(peaks) == pytest.approx(HIGHEST_PEAK, abs=0.001)
    assert peaks[0] == loud.true_peak


def test_loops_have_no_seam(audio: Audio) -> None:
    """From the last sample to the first, the mix bends no more than it does elsewhere."""
    for each in (audio.wet, audio.dry):
        mix = each.mix.astype(np.float64)
        bends = np.abs(np.diff(np.concatenate([mix, mix[:2]]), n=2, axis=0)).max(axis=1)
        assert bends[-2:].max() <= np.quantile(bends, 0.9999)


def test_what_plays_once_begins_and_ends_in_silence(audio: Audio) -> None:
    samples = loop_samples(waltz(), audio.rate)
    for each in (audio.tail, audio.dry_tail):
        assert each is not None
        assert len(each.mix) > samples + audio.rate
        assert np.abs(each.mix[-100:]).max() < FULL_SCALE_24 * 10 ** (-90 / 20)
        assert np.abs(each.mix[:4]).max() < FULL_SCALE_24 * 10 ** (-40 / 20)


def test_the_second_pass_of_a_loop_is_what_plays_once_and_what_it_leaves(audio: Audio) -> None:
    """The once-through version folded at the loop's length is the loop."""
    for loop, once in ((audio.wet, audio.tail), (audio.dry, audio.dry_tail)):
        assert once is not None
        folded = np.zeros(loop.mix.shape)
        for at in range(0, len(once.mix), len(loop.mix)):
            piece = once.mix[at : at + len(loop.mix)]
            folded[: len(piece)] += piece
        assert np.abs(folded - loop.mix).max() < FULL_SCALE_24 * 10 ** (-50 / 20)


def test_dry_stems_have_no_room_in_them(audio: Audio) -> None:
    """Half a second after the last note is let go, the wet mix still sounds and the dry one does not."""
    assert audio.tail is not None
    assert audio.dry_tail is not None
    after = loop_samples(waltz(), audio.rate) + audio.rate // 2
    assert np.abs(audio.tail.mix[after : after + 1000]).max() > 100 * np.abs(audio.dry_tail.mix[after:]).max()
