"""One's own words about arrangements: kept in the take, safe with two windows open."""

from __future__ import annotations

import json
import tempfile
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.take import TakeError
from solver.takes.remarks import FILE, LONGEST_NOTE, Overtaken, Remark, read_remarks, remark


@pytest.fixture
def take(tmp_path: Path) -> Path:
    folder = tmp_path / "take-001"
    folder.mkdir()
    return folder


def test_what_is_said_is_read_again(take: Path) -> None:
    assert read_remarks(take) == {}
    remark(take, 2, favourite=True)
    remark(take, 2, note="für die Brücke")
    remark(take, 1, note="too busy")
    assert read_remarks(take) == {1: Remark(False, "too busy"), 2: Remark(True, "für die Brücke")}
    remark(take, 1, note="")
    assert list(json.loads((take / FILE).read_text(encoding="utf-8"))) == ["2"]


def test_a_note_that_another_window_changed_is_not_lost(take: Path) -> None:
    remark(take, 1, note="first", was="")
    with pytest.raises(Overtaken) as found:
        remark(take, 1, note="second", was="")
    assert found.value.now.note == "first"
    assert remark(take, 1, note="first", was="").note == "first"
    assert remark(take, 1, note="second", was="first").note == "second"


def test_many_at_once_lose_nothing(take: Path) -> None:
    threads = [
        threading.Thread(target=remark, args=(take, number), kwargs={"favourite": True}) for number in range(1, 13)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(read_remarks(take)) == list(range(1, 13))
    assert [path.name for path in take.iterdir()] == [FILE]


@pytest.mark.parametrize("note", ["x" * (LONGEST_NOTE + 1), "two\nlines", "\x1b[31m"])
def test_a_note_is_one_short_line(take: Path, note: str) -> None:
    with pytest.raises(ValueError, match="one line"):
        remark(take, 1, note=note)


@given(
    st.binary(max_size=60)
    | st.sampled_from([b"{}", b'{"0": {}}', b'{"1": {"favourite": 3}}', b"[1]", b'{"1": {"note": null}}'])
)
def test_a_broken_file_is_one_clear_line(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / FILE).write_bytes(data)
        line = ""
        try:
            read_remarks(Path(folder))
        except TakeError as error:
            line = str(error)
    assert "\n" not in line
