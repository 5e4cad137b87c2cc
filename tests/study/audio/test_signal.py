"""Sound files of every kind: read, or refused in one line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.study.audio.signal import RATE, read_signal
from solver.study.errors import Unreadable
from tests.study.audio.renders import write

pytestmark = pytest.mark.audio


def tone(rate: int, seconds: float = 2.5, level: float = 0.5) -> np.ndarray:
    """A sine of 440 Hz."""
    return (level * np.sin(2 * np.pi * 440 * np.arange(round(rate * seconds)) / rate)).astype(np.float32)


def refused(path: Path) -> str:
    with pytest.raises(Unreadable) as raised:
        read_signal(path)
    assert "\n" not in str(raised.value)
    return str(raised.value)


@pytest.mark.parametrize("rate", [4_000, 8_000, 11_025, 37_123, 44_100, 48_000, 96_000, 192_000])
def test_any_rate_comes_out_at_the_one_that_is_used(rate: int, tmp_path: Path) -> None:
    signal = read_signal(write(tmp_path / "x.wav", tone(rate), rate))
    assert signal.seconds == pytest.approx(2.5, abs=0.02)
    spectrum = abs(np.fft.rfft(signal.samples[: 2 * RATE]))
    assert spectrum.argmax() / 2 == pytest.approx(440, abs=1)
    assert signal.remarks == ()


@pytest.mark.parametrize("kind", ["flac", "ogg", "mp3", "aiff"])
def test_any_kind_of_file(kind: str, tmp_path: Path) -> None:
    subtype = {"ogg": "VORBIS", "mp3": "MPEG_LAYER_III"}.get(kind, "PCM_16")
    signal = read_signal(write(tmp_path / f"x.{kind}", tone(44_100), subtype=subtype))
    assert signal.seconds == pytest.approx(2.5, abs=0.1)


def test_channels_are_mixed(tmp_path: Path) -> None:
    left = np.stack([tone(44_100), np.zeros_like(tone(44_100))], axis=1)
    mono = read_signal(write(tmp_path / "m.wav", tone(44_100)))
    stereo = read_signal(write(tmp_path / "s.wav", left))
    assert np.allclose(mono.samples, stereo.samples, atol=1e-3)
    six = np.repeat(tone(44_100)[:, None], 6, axis=1)
    assert np.allclose(mono.samples, read_signal(write(tmp_path / "6.wav", six)).samples, atol=1e-3)


def test_clipping_is_said(tmp_path: Path) -> None:
    signal = read_signal(write(tmp_path / "x.wav", np.clip(3 * tone(44_100), -1, 1)))
    assert len(signal.remarks) == 1
    assert "full scale" in signal.remarks[0]


def test_silence_is_refused(tmp_path: Path) -> None:
    assert refused(write(tmp_path / "x.wav", np.zeros(3 * 44_100))) == (
        "there is nothing but silence; give a sound with notes in it"
    )


def test_ten_minutes_are_read_and_eleven_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "x.wav", tone(4_000, 600), 4_000)
    assert read_signal(path).seconds == pytest.approx(600, abs=0.1)
    path = write(tmp_path / "y.wav", np.zeros(660 * 4_000), 4_000, "PCM_U8")
    assert refused(path) == "the sound lasts 11.0 minutes; give at most 10 minutes of it"


def test_what_is_too_short_or_too_coarse(tmp_path: Path) -> None:
    assert refused(write(tmp_path / "x.wav", tone(44_100, 0.5))) == "the sound lasts 0.50 s; give at least 2 s"
    assert refused(write(tmp_path / "y.wav", np.zeros(0))) == "the sound lasts 0.00 s; give at least 2 s"
    assert "3000 samples a second" in refused(write(tmp_path / "z.wav", tone(3_000), 3_000))


def test_samples_that_are_no_numbers(tmp_path: Path) -> None:
    samples = tone(44_100)
    samples[1000] = np.nan
    assert "no numbers" in refused(write(tmp_path / "x.wav", samples, subtype="FLOAT"))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_damage_is_read_or_said_in_one_line(tmp_path: Path, data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(["wav", "flac", "ogg"]))
    path = write(tmp_path / f"x.{kind}", tone(8_000), 8_000, "VORBIS" if kind == "ogg" else "PCM_16")
    content = bytearray(path.read_bytes())
    for place in data.draw(st.lists(st.integers(0, len(content) - 1), max_size=8)):
        content[place] = data.draw(st.integers(0, 255))
    path.write_bytes(content[: data.draw(st.integers(0, len(content)))])
    said = ""
    try:
        read_signal(path)
    except Unreadable as problem:
        said = str(problem)
    assert "\n" not in said
