"""A plucked string: a delay loop with losses, after Karplus and Strong (1983) and Jaffe and Smith (1983).

Karplus and Strong (1983, Computer Music Journal 7(2), 43-55): a burst goes round a delay line as long as one period
and loses a little each time. Jaffe and Smith (1983, same issue, 56-69) tune the loop with a fractional delay, set its
decay, shape it by the plectrum's place and stretch its partials for stiffness. Both are the recursion
y = x + (losses . delay) y, so the output is x / (1 - losses . delay). Here that quotient is computed over frequency
and transformed once: the delay can then be any fraction of a sample at every frequency, so that the tuning is exact,
and a note costs one transform instead of a loop over samples. The quotient is taken just outside the unit circle,
where one block holds the whole decay (its tail would otherwise fold onto its start), and weighed back in time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from solver.export.sound.sounds import Sound
from solver.music.pitch import frequency

FOLD = math.log(1e4)  # what the fold of a block's tail onto its start is softened by
LEAD = 96  # samples before the pluck: the filters spread it a little to both sides
TAPER, TOP = 8_000.0, 13_000.0  # Hz; what is heard fades out between them
DETUNE = 1.7e-4  # relative: the string's second plane of vibration lies 0.3 cents higher and fades faster
SECOND_PLANE, SECOND_LOSS = 0.3, 1.8
REFERENCE = 220.0  # Hz, A3: where a sound's decay is given
LEVELLED = 0.12  # seconds from the start over which notes are made equally strong
STRENGTH = 0.1  # their root mean square there
HIGHEST_PEAK = 0.42  # short notes are kept below this
SHORTEST_BLOCK = 1 << 14
SIXTY_DB = math.log(1000.0)
SHORTEST_DECAY = 0.02  # seconds
SOFT, HARD = 65, 105  # velocities between which a note grows brighter
DULLEST = 0.55  # brightness of a soft note, as a share of the sound's
TOUCH_LENGTH = 0.006  # seconds
STEPS = 1 << 14  # of a turn, in the table of exponentials
TOUCH_BLOCK = 4096  # samples after which the body's answer to it is over

Samples = NDArray[np.floating]
Spectrum = NDArray[np.complexfloating]


@dataclass(frozen=True)
class Bench:
    """What all notes of a sound in blocks of one length share; arrays over the bins that are computed."""

    sound: Sound
    block: int
    rate: int
    freqs: Samples  # Hz
    dullness: Samples  # how much faster than the fundamental a frequency fades
    body: Spectrum  # resonances and filters, and the lead
    touch: Samples  # over time: the plectrum's own sound, through the body
    unfold: Samples  # over time: weighs back what the fold softened


def bench(sound: Sound, block: int, rate: int) -> Bench:
    """Prepare a sound for notes of up to ``block`` samples (as of ``block_for``)."""
    freqs = _bins(block, rate) * (rate / block)
    fold = FOLD / block
    dullness = 1 + (freqs / sound.loss_corner) ** 1.6
    unfold = np.exp(fold * np.arange(block))
    return Bench(
        sound,
        block,
        rate,
        freqs,
        dullness,
        _led_body(sound, block, rate),
        _touch(sound, rate),
        unfold,
    )


def _bins(block: int, rate: int) -> NDArray[np.integer]:
    """The bins that are computed: all that are heard."""
    return np.arange(1, int(min(TOP, rate / 2) * block / rate))


def _led_body(sound: Sound, block: int, rate: int) -> Spectrum:
    """Resonances and filters, and the lead, just outside the unit circle."""
    bins = _bins(block, rate)
    return _body(sound, bins * (rate / block)) * np.exp(-(2j * np.pi / block * bins + FOLD / block) * LEAD)


@cache
def _touch(sound: Sound, rate: int) -> Samples:
    """The plectrum's or finger's own sound, through the body; not to be changed."""
    length, block = int(TOUCH_LENGTH * rate), SHORTEST_BLOCK
    noise = np.random.default_rng(round(sound.brightness)).standard_normal(length)
    spectrum = np.zeros(block // 2 + 1, dtype=np.complex128)
    bins = _bins(block, rate)
    burst = np.fft.rfft(noise * np.hanning(2 * length)[length:], block)
    spectrum[bins] = burst[bins] * _led_body(sound, block, rate)
    touch = np.fft.irfft(spectrum, block)[:TOUCH_BLOCK] * np.hanning(2 * TOUCH_BLOCK)[TOUCH_BLOCK:]
    touch *= sound.touch / np.abs(touch).max()
    touch.flags.writeable = False
    return touch


def block_for(samples: int) -> int:
    """The block in which a note of so many samples is computed: a power of two, or three quarters of one."""
    power = 1 << (samples + LEAD - 1).bit_length()
    return max(SHORTEST_BLOCK, power * 3 // 4 if power * 3 // 4 >= samples + LEAD else power)


def pluck(table: Bench, pitch: int, hardness: float) -> Samples:
    """One string plucked LEAD samples after the start of a block, at a level of its own. Mono, float64.

    ``hardness`` from 0 to 1 makes the note brighter, not louder.
    """
    sound = table.sound
    base = frequency(pitch) / math.sqrt(1 + sound.stiffness)  # so that the first partial lies at the pitch itself
    partial, slope = _partials(table.freqs, base, sound.stiffness)
    decay = sound.decay * (REFERENCE / base) ** sound.decay_slope
    loss = (SIXTY_DB / base) / np.maximum(decay / table.dullness, SHORTEST_DECAY)
    loop = turned(partial) * np.exp(-loss - (FOLD / table.block * table.rate) * slope)
    turn = (2 * np.pi * DETUNE) * partial  # small: three terms of its exponential are exact enough
    second = loop * _complex(1 - 0.5 * turn * turn, turn) * np.exp((1 - SECOND_LOSS) * loss)
    string = (1 - SECOND_PLANE) / (1 - loop) + SECOND_PLANE / (1 - second)
    # A pluck, or a pickup, at a place along the string silences the partials that have a node there.
    string *= 1 - turned(sound.pick * partial)
    if sound.pickup is not None:
        string *= 1 - turned(sound.pickup * partial)
    # A bent string's partials fall with 1/n; the plectrum's width softens those above the brightness.
    corner = sound.brightness * (DULLEST + (1 - DULLEST) * hardness)
    one = np.ones(len(partial))
    soften = _complex(one, table.freqs / corner)
    string *= table.body / (_complex(one, partial) * soften * soften)
    spectrum = np.zeros(table.block // 2 + 1, dtype=np.complex128)
    spectrum[1 : len(string) + 1] = string
    wave = np.fft.irfft(spectrum, table.block) * table.unfold
    start = wave[: int(LEVELLED * table.rate)]
    wave *= min(STRENGTH / math.sqrt(float(np.mean(start * start))), HIGHEST_PEAK / float(np.abs(start).max()))
    wave[:TOUCH_BLOCK] += table.touch * (0.5 + hardness)
    wave[:LEAD] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(LEAD) / LEAD)
    return wave * sound.level


def turned(turns: Samples) -> Spectrum:
    """exp(-2 pi i turns), to 12 digits: the nearest step of a table, and three terms of what is left to go.

    A note needs it three times for each frequency, and this takes a fifth of the library's time.
    """
    steps = turns * STEPS
    nearest = np.rint(steps)
    left = (2 * np.pi / STEPS) * (nearest - steps)
    return _steps()[nearest.astype(np.intp) & (STEPS - 1)] * _complex(1 - 0.5 * left * left, left)


@cache
def _steps() -> Spectrum:
    """STEPS steps of one turn; not to be changed."""
    steps = np.exp((-2j * np.pi / STEPS) * np.arange(STEPS))
    steps.flags.writeable = False
    return steps


def _complex(real: Samples, imaginary: Samples) -> Spectrum:
    """Complex numbers of two parts."""
    made = np.empty(len(real), dtype=np.complex128)
    made.real, made.imag = real, imaginary
    return made


def hardness_of(velocity: int) -> float:
    """How bright a velocity is struck, in steps of a quarter, so that few different notes have to be computed."""
    share = min(max((velocity - SOFT) / (HARD - SOFT), 0.0), 1.0)
    return round(4 * share) / 4


def _partials(freqs: Samples, base: float, stiffness: float) -> tuple[Samples, Samples]:
    """Which partial (a fraction between partials) a frequency is on a stiff string, and how that grows with it.

    Partial n lies at n f sqrt(1 + B n^2) (Fletcher 1964, JASA 36, 203-209); this is its inverse.
    """
    ratio = freqs / base
    root = np.sqrt(1 + 4 * stiffness * ratio * ratio)
    partial = np.sqrt((root - 1) / (2 * stiffness))
    return partial, ratio / (base * partial * root)


def _body(sound: Sound, freqs: Samples) -> Spectrum:
    """Resonances of body, pickup or loudspeaker, between a high pass (no DC) and a low pass."""
    response = np.ones(len(freqs), dtype=np.complex128)
    for resonance in sound.body:
        turn = 1j * freqs * resonance.centre / resonance.quality
        response += resonance.gain * turn / (resonance.centre**2 - freqs**2 + turn)
    high, low = freqs / sound.highest, sound.lowest / freqs
    low_pass = 1 / (1 - high**2 + 1j * math.sqrt(2) * high)
    high_pass = 1 / (1 - low**2 - 1j * math.sqrt(2) * low)
    fade = np.clip((TOP - freqs) / (TOP - TAPER), 0, 1)
    return response * low_pass * high_pass * (0.5 - 0.5 * np.cos(np.pi * fade))
