"""The sounds of the model differ measurably, and what shapes them does what it says."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from solver.export.sound.sounds import SOUNDS, Resonance, Sound
from solver.export.sound.strings import LEAD, bench, pluck

RATE = 44_100
GUITARS = ("electric", "muted", "acoustic", "nylon", "low")
BARE = replace(
    SOUNDS["electric"],
    body=(),
    pickup=None,
    brightness=20_000.0,
    stiffness=1e-6,
    highest=12_000.0,
    lowest=20.0,
    touch=0.0,
    loss_corner=50_000.0,
)


def note(sound: Sound, pitch: int) -> np.ndarray:
    return pluck(bench(sound, 1 << 17, RATE), pitch, 0.5)


def centroid(wave: np.ndarray) -> float:
    """Hz: the mean frequency of the first half second, weighted by power."""
    piece = wave[LEAD : LEAD + RATE // 2]
    power = np.abs(np.fft.rfft(piece * np.hanning(len(piece)))) ** 2
    return float(np.sum(np.fft.rfftfreq(len(piece), 1 / RATE) * power) / np.sum(power))


def decay(wave: np.ndarray) -> float:
    """Seconds for 60 dB, from the slope of the backward integral between -5 and -25 dB (Schroeder 1965)."""
    left = np.cumsum(wave[LEAD:][::-1] ** 2)[::-1]
    level = 10 * np.log10(left / left[0] + 1e-15)
    inside = np.flatnonzero((level <= -5) & (level >= -25))
    return -60 / float(np.polyfit(inside / RATE, level[inside], 1)[0])


def attack(wave: np.ndarray) -> float:
    """Milliseconds in which the level (over 2 ms) rises from a tenth to nine tenths of its peak."""
    width = int(0.002 * RATE)
    level = np.sqrt(np.convolve(wave[: RATE // 4] ** 2, np.ones(width) / width, "same"))
    rise = level[: int(level.argmax()) + 1]
    tenth, most = (np.flatnonzero(rise >= share * rise[-1])[0] for share in (0.1, 0.9))
    return 1000 * float(most - tenth) / RATE


# A decay between 0.75 and 1.4 times another one passes for it (Järveläinen and Tolonen 2001, Journal of the Audio
# Engineering Society 49(11), from memory); the other two limits are our own.
@pytest.mark.parametrize("pitch", [45, 52, 57, 64])
def test_any_two_guitars_differ_by_more_than_listeners_let_pass(pitch: int) -> None:
    waves = {name: note(SOUNDS[name], pitch) for name in GUITARS}
    for one, other in itertools.combinations(GUITARS, 2):
        ratios = [measure(waves[one]) / measure(waves[other]) for measure in (centroid, decay, attack)]
        bright, long, quick = (max(ratio, 1 / ratio) for ratio in ratios)
        assert bright > 1.1 or long > 1.34 or quick > 1.2, (one, other, ratios)


def test_each_guitar_is_what_it_is_called() -> None:
    waves = {name: note(SOUNDS[name], 52) for name in GUITARS}
    decays, centroids, attacks = (
        {name: measure(wave) for name, wave in waves.items()} for measure in (decay, centroid, attack)
    )
    assert decays["muted"] < 0.25 * min(decays[name] for name in GUITARS if name != "muted")
    assert max(decays, key=decays.__getitem__) == "low"
    assert min(centroids, key=centroids.__getitem__) == "nylon"
    assert max(attacks, key=attacks.__getitem__) == "nylon"  # a fingertip is softer than a plectrum


def partials(wave: np.ndarray, pitch: int, count: int) -> np.ndarray:
    """Decibels of the first partials."""
    piece = wave[LEAD : LEAD + (1 << 15)]
    spectrum = np.abs(np.fft.rfft(piece * np.hanning(len(piece))))
    base = 440 * 2 ** ((pitch - 69) / 12)
    bins = [round(number * base * len(piece) / RATE) for number in range(1, count + 1)]
    return 20 * np.log10([spectrum[at - 3 : at + 4].max() for at in bins])


# A string plucked at 1/n of its length lacks the n-th partial (T. Young 1800; any textbook of acoustics).
@pytest.mark.parametrize("nth", [3, 4, 5])
def test_the_place_of_the_pluck_silences_its_partial(nth: int) -> None:
    found = partials(note(replace(BARE, pick=1 / nth), 45), 45, nth + 1)
    assert found[nth - 1] < min(found[nth - 2], found[nth]) - 20


@pytest.mark.parametrize("nth", [3, 4])
def test_the_place_of_the_pickup_silences_its_partial(nth: int) -> None:
    found = partials(note(replace(BARE, pick=0.11, pickup=1 / nth), 45), 45, nth + 1)
    assert found[nth - 1] < min(found[nth - 2], found[nth]) - 20


def test_the_body_lifts_its_resonances_and_loudspeaker_and_air_cut_the_rest() -> None:
    plain = partials(note(BARE, 45), 45, 8)
    lifted = partials(note(replace(BARE, body=(Resonance(110.0, 8.0, 2.0),)), 45), 45, 8) - plain
    assert lifted[0] - lifted[5] == pytest.approx(20 * np.log10(3), abs=1)  # the direct sound and twice as much again
    open_, closed = (partials(note(replace(BARE, highest=highest), 45), 45, 40) for highest in (12_000.0, 1500.0))
    assert (open_ - closed)[35] - (open_ - closed)[2] > 15


@pytest.mark.parametrize("name", SOUNDS)
def test_nothing_sounds_below_the_string(name: str) -> None:
    """No thump, no rumble: an octave below the note there is nothing to hear."""
    wave = note(SOUNDS[name], 52)
    power = np.abs(np.fft.rfft(wave[:RATE] * np.hanning(RATE))) ** 2
    assert power[:60].sum() < 1e-3 * power.sum()
