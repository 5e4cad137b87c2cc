"""What the routes answer: briefs, takes, sound, remarks, exports. Takes are made without a search."""

from __future__ import annotations

import io
import json
import wave
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from solver.export.midi import midi_bytes
from solver.export.midi_reading import read_midi
from solver.take import Parent, TakeHeader, open_take, read_take
from tests.export.sample_arrangements import sample_arrangement, sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan
from tests.page.served import client_of, made_take, workspace

BASE = "/api/loops/one-rope/take-001/1"


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    root = workspace(tmp_path, "one-rope", "ferry-lights")
    made_take(root, "one-rope")
    return client_of(root)


def test_briefs_are_listed_broken_ones_too(client: TestClient, tmp_path: Path) -> None:
    (tmp_path / "briefs" / "broken.toml").write_bytes(b"bars = \xff")
    listed = {brief["name"]: brief for brief in client.get("/api/briefs").json()["briefs"]}
    assert list(listed) == ["broken", "ferry-lights", "one-rope"]
    assert listed["broken"]["broken"] is True
    assert (listed["one-rope"]["takes"], listed["one-rope"]["latest"], listed["ferry-lights"]["takes"]) == (
        1,
        "take-001",
        0,
    )
    assert listed["ferry-lights"]["chords"] == ["Bm", "G"]


def test_every_key_of_a_brief_is_a_field(client: TestClient) -> None:
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief, keys_of

    fields = client.get("/api/fields").json()
    assert [field["key"] for field in fields["part"]] == list(keys_of(Part))
    assert {field["key"] for field in fields["brief"]} | {"prefer", "feel", "parts"} == set(Brief.model_fields)
    assert all(field["meaning"] and field["default"] for kind in ("brief", "part", "feel") for field in fields[kind])
    roles = next(field for field in fields["part"] if field["key"] == "role")
    told = {field["key"] for field in [*fields["part"], *fields["feel"]] if field["choices"] and field["choice_words"]}
    assert told >= {"role", "instrument", "figure", "motion", "texture", "ornaments", "swing_on", "strum_direction"}
    assert list(roles["choice_words"]) == roles["choices"]
    assert (roles["kind"], roles["choices"]) == ("choice", ["lead", "low", "background", "chords", "counter"])


def test_a_brief_is_read_changed_and_saved(client: TestClient, tmp_path: Path) -> None:
    brief = client.get("/api/briefs/ferry-lights").json()
    assert (brief["values"]["bars"], brief["errors"], brief["defaults"]["parts"]["low"]["figure"]) == (
        8,
        [],
        "few notes",
    )
    asked = {"text": brief["text"], "changes": [{"path": ["bars"], "value": 80}]}
    judged = client.post("/api/briefs/ferry-lights/judge", json=asked).json()
    assert [error["path"] for error in judged["errors"]] == [["bars"]]
    assert "bars is 80" in judged["errors"][0]["wrong"]
    saved = client.put("/api/briefs/ferry-lights", json={"text": judged["text"], "version": brief["version"]})
    assert saved.status_code == 200
    assert "bars = 80" in (tmp_path / "briefs" / "ferry-lights.toml").read_text()
    again = client.put("/api/briefs/ferry-lights", json={"text": "x", "version": brief["version"]})
    assert again.status_code == 409
    assert client.put("/api/briefs/ferry-lights", json={"text": "x"}).status_code == 409
    assert client.put("/api/briefs/new one", json={"text": TEXTS["one-rope"]}).status_code == 200


@pytest.mark.parametrize("path", ["key", "bars", "chords", "parts"])
def test_a_missing_key_is_said_beside_its_field(client: TestClient, path: str) -> None:
    asked = {"text": TEXTS["ferry-lights"], "changes": [{"path": [path], "value": None}]}
    errors = client.post("/api/briefs/x/judge", json=asked).json()["errors"]
    assert [error["path"] for error in errors] == [[path]]


def test_the_takes_of_a_brief_are_a_family(client: TestClient, tmp_path: Path) -> None:
    made_take(tmp_path, "one-rope", 1, Parent("take-001", 2), ("lead:1",))
    (tmp_path / "out" / "one-rope" / "take-003").mkdir()
    first, second, broken = client.get("/api/loops/one-rope").json()["takes"]
    assert (first["parent"], len(first["arrangements"])) == (None, 2)
    assert (second["parent"], second["locks"]) == ({"take": "take-001", "number": 2}, ["lead:1"])
    assert broken["broken"] == "it holds no take.json"
    assert "it holds no take.json" in client.get("/api/loops/one-rope/take-003/1").text


def test_a_take_says_which_midi_file_it_came_from(client: TestClient, tmp_path: Path) -> None:
    plan = sample_plan("one-rope")
    header = TakeHeader("one-rope", TEXTS["one-rope"], 0, {"from": "edited.mid"}, locks=("lead",))
    with open_take(tmp_path / "out" / "one-rope", header, plan) as take:
        take.finish(sample_ranked(plan, 1))
    first, second = client.get("/api/loops/one-rope").json()["takes"]
    assert (first["midi"], second["midi"]) == (None, "edited.mid")


def test_a_take_laid_out_otherwise_is_listed_just_the_same(client: TestClient, tmp_path: Path) -> None:
    before = client.get("/api/loops/one-rope").json()
    record = tmp_path / "out" / "one-rope" / "take-001" / "take.json"
    record.write_text(json.dumps(json.loads(record.read_text(encoding="utf-8")), indent=2), encoding="utf-8")
    assert client.get("/api/loops/one-rope").json() == before


def test_a_view_has_every_note_with_place_and_reason(client: TestClient) -> None:
    view = client.get(BASE).json()
    plan = sample_plan("one-rope")
    assert len(view["notes"]) == len(sample_arrangement(plan, 1).notes)
    assert all(note["why"] and note["function"] and note["name"] for note in view["notes"])
    assert "<style" not in view["picture"]
    assert view["loop"]["parts"][0]["name"] == "lead"
    assert client.get("/picture.css").text.startswith(".picture {")


@pytest.mark.parametrize("tempo", [None, 100])
def test_stems_are_as_long_as_the_loop_at_any_tempo(client: TestClient, tempo: int | None) -> None:
    plan = sample_plan("one-rope")
    answer = client.get(f"{BASE}/stems/lead.wav", params={"tempo": tempo} if tempo else {})
    audio, rate = soundfile.read(io.BytesIO(answer.content))
    assert len(audio) == round(4 * 60 / (tempo or plan.tempo) * rate)
    assert np.abs(audio).max() > 0.05
    assert answer.content == client.get(f"{BASE}/stems/lead.wav", params={"tempo": tempo} if tempo else {}).content


def test_another_tempo_keeps_the_pitch(client: TestClient) -> None:
    strongest = []
    for tempo in (70, 140):
        audio, rate = soundfile.read(io.BytesIO(client.get(f"{BASE}/stems/lead.wav?tempo={tempo}").content))
        spectrum = np.abs(np.fft.rfft(audio.mean(axis=1)))
        strongest.append(np.fft.rfftfreq(len(audio), 1 / rate)[spectrum.argmax()])
    assert strongest[0] == pytest.approx(strongest[1], rel=0.02)  # a third of a semitone; an octave at twice the speed


@pytest.mark.parametrize("tail", ["stems/nobody.wav", "export/loop.mid?part=nobody"])
def test_there_are_no_other_parts(client: TestClient, tail: str) -> None:
    assert client.get(f"{BASE}/{tail}").status_code == 404


@pytest.mark.parametrize("query", ["tempo=x", "tempo=29", "tempo=nan", "tempo=inf", "tempo=301"])
def test_a_tempo_is_one_that_a_brief_may_have(client: TestClient, query: str) -> None:
    assert client.get(f"{BASE}/stems/lead.wav?{query}").status_code == 400


def test_exports_are_the_files_of_the_take(client: TestClient, tmp_path: Path) -> None:
    plan = sample_plan("one-rope")
    midi = client.get(f"{BASE}/export/loop.mid")
    assert midi.content == midi_bytes(plan, read_take(tmp_path / "out/one-rope/take-001").arrangements[0].arrangement)
    assert "One%20rope" in midi.headers["content-disposition"]
    (tmp_path / "part.mid").write_bytes(client.get(f"{BASE}/export/loop.mid?part=lead").content)
    assert read_midi(tmp_path / "part.mid", plan).arrangement.notes
    assert client.get(f"{BASE}/export/picture.svg").text.count("<style") == 1


def test_the_beat_is_in_the_wav_only_where_it_is_asked_for(client: TestClient) -> None:
    plain, with_beat = (client.get(f"{BASE}/export/loop.wav{query}").content for query in ("", "?beat=straight"))
    assert plain != with_beat
    with wave.open(io.BytesIO(plain)) as one, wave.open(io.BytesIO(with_beat)) as other:
        assert one.getnframes() == other.getnframes()
    assert client.get(f"{BASE}/export/loop.wav?beat=waltz").status_code == 400
    assert client.get(f"{BASE}/beat.wav?style=half-time&hit=clap").status_code == 200
    assert client.get(f"{BASE}/beat.wav?hit=cowbell").status_code == 400


def test_everything_comes_as_one_zip(client: TestClient) -> None:
    answer = client.get(f"{BASE}/export/everything.zip")
    assert answer.status_code == 200, answer.text
    names = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    assert any(name.endswith(".musicxml") for name in names)


def test_remarks_are_kept_in_the_take(client: TestClient) -> None:
    assert client.put(f"{BASE}/remark", json={"favourite": True}).json() == {"favourite": True, "note": ""}
    assert client.put(f"{BASE}/remark", json={"note": "verse", "was": ""}).status_code == 200
    overtaken = client.put(f"{BASE}/remark", json={"note": "bridge", "was": ""})
    assert (overtaken.status_code, overtaken.json()["note"]) == (409, "verse")
    assert client.put(f"{BASE}/remark", json={"note": "a\nb"}).status_code == 422
    assert client.get("/api/loops/one-rope").json()["takes"][0]["remarks"] == {
        "1": {"favourite": True, "note": "verse"}
    }


def test_a_midi_file_becomes_a_brief(client: TestClient, tmp_path: Path) -> None:
    plan = sample_plan("ferry-lights")
    midi = midi_bytes(plan, sample_arrangement(plan))
    before = sorted(tmp_path.rglob("*"))
    made = client.post("/api/study", params={"name": "../Quay song.mid"}, content=midi).json()
    assert made["name"] == "Quay song"
    assert "[parts." in made["text"]
    assert sorted(tmp_path.rglob("*")) == before


def test_a_midi_file_is_kept_beside_the_briefs_and_never_overwritten(client: TestClient, tmp_path: Path) -> None:
    plan = sample_plan("ferry-lights")
    one, other = (midi_bytes(plan, sample_arrangement(plan, seed)) for seed in (1, 2))
    paths = [
        client.post("/api/midi", params={"name": "../../Quay song.mid"}, content=data).json()["path"]
        for data in (one, one, other)
    ]
    assert paths == ["midi/Quay song.mid", "midi/Quay song.mid", "midi/Quay song 2.mid"]
    assert (tmp_path / "briefs" / paths[0]).read_bytes() == one
    text = TEXTS["ferry-lights"] + f'from = "{paths[0]}"\ntrack = "middle"\n'
    judged = client.post("/api/briefs/ferry-lights/judge", json={"text": text}).json()
    assert judged["errors"] == []


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=80))
def test_whatever_is_uploaded_is_answered_with_one_line(client: TestClient, data: bytes) -> None:
    for path, fine in (("/api/study", 200), ("/api/midi", 201)):
        answer = client.post(path, content=b"MThd" + data)
        assert answer.status_code in (fine, 422)
        assert "\n" not in answer.json().get("message", "")


BODIES = [
    b"",
    b"[]",
    b"{",
    b'"x"',
    b"\xff",
    b'{"brief": 3}',
    b'{"brief": "nobody"}',
    b'{"brief": "one-rope", "count": 0}',
    b'{"brief": "one-rope", "locks": [1]}',
    b'{"brief": "one-rope", "take": "take-001"}',
    b'{"brief": "one-rope", "kind": "other"}',
    b"[" * 9999,
]


@pytest.mark.parametrize("body", BODIES)
def test_orders_that_are_none_begin_nothing(client: TestClient, body: bytes) -> None:
    assert client.post("/api/jobs", content=body).status_code in (400, 404)
    assert client.get("/api/jobs").json() == {"jobs": []}


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.fixed_dictionaries(
        {}, optional={"text": JSON, "changes": JSON, "favourite": JSON, "note": JSON, "version": JSON}
    )
)
def test_no_body_breaks_the_server(client: TestClient, body: dict[str, Any]) -> None:
    data = json.dumps(body)
    for method, path in (("POST", "/api/briefs/x/judge"), ("PUT", f"{BASE}/remark"), ("POST", "/api/jobs/job-1/stop")):
        assert client.request(method, path, content=data).status_code < 500


def test_what_is_not_there_is_said(client: TestClient) -> None:
    assert client.get("/api/loops/nobody").json() == {"takes": []}
    assert client.get("/api/briefs/nobody").status_code == 404
    assert client.get("/nothing").status_code == 404
    assert client.get("/static/../app.py").status_code == 404
    assert client.get("/static/%2e%2e/app.py").status_code == 404
    assert client.post("/api/jobs/job-1/stop").status_code == 404
