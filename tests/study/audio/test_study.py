"""The study of sound, on renders of reference loops whose truth is known."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from solver.brief.planning import plan_from_text
from solver.music.metre import parse_metre
from solver.study.audio.extra import missing
from solver.study.audio.study import study_audio
from solver.study.audio.telling import audio_facts, audio_paragraphs
from solver.study.errors import StudyError
from tests.study.audio.renders import rendered, write


@pytest.mark.audio
def test_what_is_estimated_of_a_loop(tmp_path: Path) -> None:
    heard = study_audio(write(tmp_path / "mist-lanterns.wav", rendered("mist-lanterns")))
    facts = audio_facts(heard)
    assert (facts["estimate"], facts["key"], facts["tempo"], facts["meter"], facts["bars"]) == (
        True,
        "B minor",
        120.0,
        "4/4",
        8,
    )
    assert facts["chords"] == ["Bm", "Bm", "G", "G"] * 2
    assert facts["tempo_candidates"] == [120.0, 60.0, 240.0]
    assert facts["tempo_confidence"] > 0.9
    assert len(facts["chord_confidence"]) == len(facts["chords_by_chroma"]) == 8
    assert all(0.3 < confidence <= 1 for confidence in facts["chord_confidence"])
    assert facts["parts"] == {}
    assert all(0 < note["confidence"] <= 1 and note["start"] < note["end"] for note in facts["notes"])
    (paragraph,) = audio_paragraphs(heard)
    assert "Estimates" in paragraph.heading
    assert " ".join(paragraph.sentences).count("confidence of") == 3
    assert "another triad in" in paragraph.sentences[4]
    plan = plan_from_text(facts["brief"], "lanterns")
    assert [part.role for part in plan.parts] == ["lead", "low", "background"]
    assert [span.chord.symbol for span in plan.spans[:2]] == ["Bm", "G"]


@pytest.mark.audio
def test_a_metre_that_is_given(tmp_path: Path) -> None:
    heard = study_audio(write(tmp_path / "waltz.flac", rendered("down-the-slip")), parse_metre("3/4"))
    assert (heard.study.key.name, heard.study.bars, heard.study.tempo) == ("Bb major", 8, 100.0)
    assert "as asked" in audio_paragraphs(heard)[0].sentences[1]


@pytest.mark.audio
def test_the_same_sound_gives_the_same_facts(tmp_path: Path) -> None:
    path = write(tmp_path / "x.wav", rendered("down-the-slip")[: 3 * 44_100])
    assert audio_facts(study_audio(path)) == audio_facts(study_audio(path))


@pytest.mark.audio
def test_silence_before_the_first_bar_is_not_counted(tmp_path: Path) -> None:
    sound = rendered("down-the-slip")[: 4 * 44_100]
    quiet = np.zeros((3 * 44_100, 2), dtype=sound.dtype)
    heard = study_audio(write(tmp_path / "x.wav", np.concatenate([quiet, sound])), parse_metre("3/4"))
    assert heard.bars.first == pytest.approx(3, abs=0.05)
    assert heard.study.chords[0] == "Bb"


@pytest.mark.audio
def test_sound_without_notes_is_refused(tmp_path: Path) -> None:
    noise = np.random.default_rng(1).normal(0, 0.1, 3 * 44_100)
    with pytest.raises(StudyError, match=r"^\S+x\.wav: no notes are heard in it; give a sound of pitched notes$"):
        study_audio(write(tmp_path / "x.wav", noise))


def test_what_is_missing_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.study.audio.extra.find_spec", lambda name: None)
    assert missing() == "librosa, onnxruntime, soxr and basic-pitch (for its note model)"


def test_without_the_extra_it_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.study.audio.study.missing", lambda: "onnxruntime and soxr")
    with pytest.raises(StudyError) as raised:
        study_audio(tmp_path / "x.wav")
    assert str(raised.value) == (
        f"{tmp_path}/x.wav: the study of sound needs what is not installed: onnxruntime and soxr; "
        "pip install -e '.[study]', then pip install --no-deps basic-pitch"
    )
