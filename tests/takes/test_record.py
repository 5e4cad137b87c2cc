"""take.json: its layout, and one clear line for every way in which it can be broken."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from solver.arrangement import Nearest, Note
from solver.avoided import Avoided, LoopLine, Move
from solver.held import Held
from solver.take import TakeError, TakeHeader, read_take
from solver.takes.record import LARGEST_RECORD, layout, library_versions, take_text
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan

PLAN = sample_plan("one-rope")
HEADER = TakeHeader("one-rope", TEXTS["one-rope"], 3, {"count": 1})
TEXT = take_text(HEADER, "plucked-string model", sample_ranked(PLAN, 1))


def read(folder: Path, text: str | bytes) -> str:
    """What is said of a record with this text; empty where it is read."""
    path = folder / "take.json"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    try:
        read_take(path)
    except TakeError as error:
        message = str(error)
        assert message.startswith(f"{path}: ")
        assert "\n" not in message
        return message.removeprefix(f"{path}: ")
    return ""


def reference(**changed: object) -> dict[str, object]:
    """A reference's data, its only part changed."""
    part = {"part": "lead", "first": "0", "intervals": [2, -2], "quarters": ["1", "3/2"], **changed}
    return {"name": "x.mid", "bar": "4", "parts": [part]}


def test_a_note_stands_on_a_line_of_its_own() -> None:
    lines = [line.strip().rstrip(",") for line in TEXT.splitlines()]
    notes = [json.loads(line) for line in lines if line.startswith('{"part"')]
    assert len(notes) == len(sample_ranked(PLAN, 1)[0].arrangement.notes)
    assert set(notes[0]) == {"part", "onset", "length", "pitch", "string", "fret"}


def test_the_record_says_how_good_in_words_and_numbers() -> None:
    record = json.loads(TEXT)
    assert record["format"] == 1
    assert record["brief"] == TEXTS["one-rope"]
    assert record["versions"] == library_versions()
    assert set(record["versions"]) == {"ortools", "python-constraint2", "numpy"}
    found = record["arrangements"][0]
    assert (found["total"], found["bound"], found["proved"]) == (91.25, 91.25, True)
    assert found["proof"] == "best possible for this rhythm"


def test_what_was_kept_clear_of_comes_back(tmp_path: Path) -> None:
    moves = (Move(3, Fraction(1, 2)), Move(-3, Fraction(7, 2)))
    source = Avoided("refs/quay.mid", Fraction(4), (LoopLine("lead", Fraction(1, 3), moves),))
    header = replace(HEADER, references=(source,), avoided_takes=("take-001",))
    near = Nearest("refs/quay.mid", "lead", (1, 2), "lead", (3, 4), 0.25, 3)
    ranked = [replace(one, nearest=(near,)) for one in sample_ranked(PLAN, 1)]
    assert read(tmp_path, take_text(header, "plucked-string model", ranked)) == ""
    take = read_take(tmp_path)
    assert take.header == header
    assert take.arrangements == tuple(ranked)


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)


@given(json_values)
def test_the_layout_is_json_of_the_same_value(value: object) -> None:
    assert json.loads(layout(value)) == value


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda r: r.update(format=2), "format"),
        (lambda r: r.pop("seed"), "seed: field required"),
        (lambda r: r["arrangements"][0]["notes"][0].update(pitch=128), "arrangements[0].notes[0].pitch"),
        (lambda r: r["arrangements"][0]["notes"][0].update(onset="1"), "arrangements[0].notes[0].onset"),
        (lambda r: r["arrangements"][0]["notes"][0].update(length=0), "arrangements[0].notes[0].length"),
        (lambda r: r["arrangements"][0].update(total="good"), "arrangements[0].total"),
        (lambda r: r["arrangements"][0]["marks"][0].pop("sentence"), "arrangements[0].marks[0].sentence"),
        (lambda r: r.update(parent={"take": "take-001", "arrangement": 0}), "parent.arrangement"),
        (lambda r: r.update(references=[reference(quarters=["1", "0"])]), "references[0].parts[0].quarters[1]: a time"),
        (lambda r: r.update(references=[reference(quarters=["1", "1/x"])]), "references[0].parts[0].quarters[1]"),
        (lambda r: r.update(references=[reference(quarters=["1"])]), "references[0].parts[0]: intervals and quarters"),
        (lambda r: r.update(references=[reference(first="-1")]), "references[0].parts[0].first"),
        (lambda r: r.update(references=[{**reference(), "bar": "0"}]), "references[0].bar: a time is 0"),
        (lambda r: r["arrangements"][0].update(nearest=[{"source": "x"}]), "arrangements[0].nearest[0].part"),
    ],
)
def test_a_wrong_value_is_named_by_its_place(
    tmp_path: Path, change: Callable[[dict[str, Any]], object], said: str
) -> None:
    record = json.loads(TEXT)
    change(record)
    message = read(tmp_path, json.dumps(record))
    assert message.startswith(said)
    assert message.endswith("the take is broken, make it again from its brief")


def test_keys_of_later_versions_are_passed_over(tmp_path: Path) -> None:
    record = json.loads(TEXT)
    record["feel"] = "none"
    assert read(tmp_path, json.dumps(record)) == ""


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "\xff\xfe", '{"format": 1e999}', "[" * 100_000])
def test_what_is_no_record_is_one_line(tmp_path: Path, text: str) -> None:
    assert read(tmp_path, text)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(0, len(TEXT.encode()) - 1), st.binary(max_size=3))
def test_damage_anywhere_is_read_or_said_in_one_line(tmp_path: Path, at: int, bytes_: bytes) -> None:
    data = TEXT.encode()
    read(tmp_path, data[:at] + bytes_ + data[at + len(bytes_) :])


def test_no_folder_no_record_too_large(tmp_path: Path) -> None:
    with pytest.raises(TakeError, match="there is no take in this folder; name a take's folder, such as"):
        read_take(tmp_path)
    (tmp_path / "brief.toml").write_text('key = "B minor"', encoding="utf-8")
    with pytest.raises(TakeError, match=r"brief\.toml: this is no take; name a take's folder, such as"):
        read_take(tmp_path / "brief.toml")
    with pytest.raises(TakeError, match="cannot be read"):
        read_take(tmp_path / "none")
    with (tmp_path / "take.json").open("wb") as file:
        file.truncate(LARGEST_RECORD + 1)
    with pytest.raises(TakeError, match="too large"):
        read_take(tmp_path)


def test_lines_that_a_brief_took_from_files_come_back(tmp_path: Path) -> None:
    note = Note("strand", 0, 2, 69)
    held = Held("strand", 0, 16, "notes", (note,), 'quay.toml:12: from = "my-lead.mid"')
    text = take_text(replace(HEADER, lines=(held,)), "plucked-string model", sample_ranked(PLAN, 1))
    (tmp_path / "take.json").write_text(text, encoding="utf-8")
    assert read_take(tmp_path).header.lines == (held,)
