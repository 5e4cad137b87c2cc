"""The hand-over: what is in it, under which names, and that it is whole, repeatable and within the brief."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text
from solver.export.folder import Handover, Order, hand_over
from solver.export.midi_reading import read_midi
from solver.export.sound.events import loop_samples
from solver.export.transposing import OutOfReach
from solver.music.scales import parse_key
from solver.takes.record import Take, TakeHeader
from tests.export.sample_arrangements import sample_ranked
from tests.outside.musicxml_schema import complaints

TEXT = """
title = "Mooring line"
key = "F# minor"
tempo = 150
bars = 2
chords = ["F#m", "D"]

[parts.lead]
role = "lead"

[parts.Mix]
role = "low"
"""
NAME = "Mooring line - F sharp minor - 150 bpm"
PARTS = ("lead", "part Mix")  # a part that is called like the mix is told from it


@pytest.fixture
def plan() -> Plan:
    return plan_from_text(TEXT, "mooring-line")


@pytest.fixture
def take(plan: Plan) -> Take:
    header = TakeHeader("mooring-line", TEXT, 0)
    return Take(Path("out/mooring-line/take-003"), header, "", tuple(sample_ranked(plan, 2)))


def wave(path: Path) -> tuple[np.ndarray, int]:
    """A 24-bit file in its steps."""
    assert soundfile.info(str(path)).subtype == "PCM_24"
    steps, rate = soundfile.read(str(path), dtype="int32", always_2d=True)
    return steps.astype(np.int64) >> 8, rate


def test_the_folder_holds_everything_under_title_key_and_tempo(tmp_path: Path, plan: Plan, take: Take) -> None:
    order = Order(keys=(parse_key("G minor"),), tail=True)
    done = hand_over(plan, take, 1, tmp_path, order)
    other = "Mooring line - G minor - 150 bpm"
    waves = ("mix", *PARTS)
    assert done.path == tmp_path / NAME
    assert set(done.files) == {
        f"{NAME}.mid",
        *(f"{NAME} - {part}.mid" for part in PARTS),
        f"G minor/{other}.mid",
        *(f"G minor/{other} - {part}.mid" for part in PARTS),
        *(f"{NAME} - {name}.wav" for name in waves),
        *(f"dry/{NAME} - {name} dry.wav" for name in waves),
        *(f"tail/{NAME} - {name} tail.wav" for name in waves),
        *(f"tail/dry/{NAME} - {name} dry tail.wav" for name in waves),
        f"{NAME}.musicxml",
        f"{NAME} - score.html",
        f"{NAME} - score 1.svg",
        f"{NAME} - notes.txt",
    }
    found = {path.relative_to(done.path).as_posix() for path in done.path.rglob("*") if path.is_file()}
    assert found == set(done.files)
    for inside, kind in (("", ""), ("dry/", " dry"), ("tail/", " tail"), ("tail/dry/", " dry tail")):
        mix, *stems = (wave(done.path / f"{inside}{NAME} - {name}{kind}.wav")[0] for name in waves)
        assert np.array_equal(mix, np.sum(stems, axis=0))
        if "tail" not in inside:
            assert len(mix) == loop_samples(plan, 44_100)


def test_the_usual_hand_over_is_small(tmp_path: Path, plan: Plan, take: Take) -> None:
    done = hand_over(plan, take, 2, tmp_path, Order(rate=48_000))
    assert len(done.files) == 3 + 6 + 4
    steps, rate = wave(done.path / f"{NAME} - mix.wav")
    assert (rate, len(steps)) == (48_000, loop_samples(plan, 48_000))
    assert complaints((done.path / f"{NAME}.musicxml").read_bytes()) == []


def test_midi_files_read_back_as_the_arrangement_and_its_parts(tmp_path: Path, plan: Plan, take: Take) -> None:
    done = hand_over(plan, take, 1, tmp_path, Order(keys=(parse_key("E minor"),)))
    arrangement = take.arrangements[0].arrangement
    assert read_midi(done.path / f"{NAME}.mid", plan).arrangement == arrangement
    for part, name in zip(plan.parts, PARTS, strict=True):
        alone = replace(plan, parts=(part,))
        assert read_midi(done.path / f"{NAME} - {name}.mid", alone).arrangement.notes == arrangement.part(part.name)
    lower = read_midi(done.path / "E minor" / "Mooring line - E minor - 150 bpm.mid", plan)
    assert [note.pitch for note in lower.arrangement.notes] == [note.pitch - 2 for note in arrangement.notes]
    head = mido.MidiFile(done.path / "E minor" / "Mooring line - E minor - 150 bpm.mid").tracks[0]
    assert [message.key for message in head if message.type == "key_signature"] == ["Em"]
    assert [message.text for message in head if message.type == "marker"] == ["Em", "C"]


def test_a_zip_holds_the_same_files_and_is_the_same_again(tmp_path: Path, plan: Plan, take: Take) -> None:
    done = hand_over(plan, take, 1, tmp_path / "a", Order())
    zips = [hand_over(plan, take, 1, tmp_path / "b", Order(zipped=True)).path for _ in range(2)]
    assert [path.name for path in zips] == [f"{NAME}.zip", f"{NAME} (2).zip"]
    assert zips[0].read_bytes() == zips[1].read_bytes()
    with zipfile.ZipFile(io.BytesIO(zips[0].read_bytes())) as archive:
        found = {name.removeprefix(f"{NAME}/"): archive.read(name) for name in archive.namelist()}
    assert found == {name: (done.path / name).read_bytes() for name in done.files}


def test_a_key_that_cannot_be_played_leaves_nothing(tmp_path: Path, plan: Plan, take: Take) -> None:
    with pytest.raises(OutOfReach):
        hand_over(plan, take, 1, tmp_path / "new", Order(keys=(parse_key("A major"),)))
    assert not (tmp_path / "new").exists()


def test_levels_are_told(tmp_path: Path, plan: Plan, take: Take) -> None:
    done: Handover = hand_over(plan, take, 1, tmp_path, Order())
    notes = (done.path / f"{NAME} - notes.txt").read_text(encoding="utf-8")
    assert f"{done.loudness:.1f} LUFS" in notes
    assert f"true peak {done.true_peak:.1f} dBTP" in notes
    assert "plucked-string model" in notes


def test_a_place_that_cannot_be_written_is_told_before_anything_is_rendered(
    plan: Plan, take: Take, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("solver.export.folder.audio_of", lambda *given, **options: pytest.fail("it was rendered"))
    monkeypatch.setattr("os.access", lambda path, mode: False)  # permission bits mean nothing to a superuser
    with pytest.raises(PermissionError):
        hand_over(plan, take, 1, tmp_path / "handed", Order())
    assert list(tmp_path.iterdir()) == []
