"""Files that are briefs, and files that are not."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.brief.errors import BriefError, BriefErrors
from solver.brief.reader import LARGEST, read_brief, read_text
from tests.brief.texts import GOOD


def complaint(path: Path) -> str:
    with pytest.raises(BriefErrors) as caught:
        read_brief(path)
    return str(caught.value)


def written(folder: Path, data: bytes) -> Path:
    path = folder / "pier.toml"
    path.write_bytes(data)
    return path


def test_a_good_file(tmp_path: Path) -> None:
    source = read_brief(written(tmp_path, GOOD.encode()))
    assert source.name == "pier"
    assert source.brief.title == "Pier"
    assert source.text == GOOD
    assert source.place(("key",)) == (2, 7)
    assert source.place(("parts", "low", "role")) == (10, 8)


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    source = read_brief(written(tmp_path, b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode()))
    assert source.brief.key == "B minor"
    assert source.place(("title",)) == (1, 9)


def test_empty(tmp_path: Path) -> None:
    for data in (b"", b"\n \n", b"\xef\xbb\xbf"):
        path = written(tmp_path, data)
        assert complaint(path) == f"{path}: the file is empty; a brief needs key, bars, chords and parts"


def test_not_text(tmp_path: Path) -> None:
    path = written(tmp_path, b'title = "\xc3\xa9"\nkey = "\xff"')
    assert complaint(path) == f"{path}:2:8: this is not text in UTF-8; save the brief as a text file in UTF-8"
    path = written(tmp_path, b"MThd\0\0\0\6")
    assert complaint(path) == f"{path}: this is not text; a brief is a text file in TOML"


def test_a_folder(tmp_path: Path) -> None:
    assert complaint(tmp_path).startswith(f"{tmp_path}: this is a folder; give the path of a brief")


def test_no_such_file(tmp_path: Path) -> None:
    near = written(tmp_path, GOOD.encode())
    assert complaint(tmp_path / "peir.toml") == f"{tmp_path / 'peir.toml'}: there is no such file; did you mean {near}?"
    assert f"did you mean {near}?" in complaint(tmp_path / "pier")
    assert "give the path of a brief" in complaint(tmp_path / "p1.toml")  # the ending alone is no likeness
    assert "give the path of a brief" in complaint(tmp_path / "no folder" / "x.toml")
    assert "there is no such file" in complaint(Path("a\0b.toml"))


def test_too_large_a_file_is_not_read_whole(tmp_path: Path) -> None:
    path = tmp_path / "pier.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    assert complaint(path) == f"{path}: the file is larger than 1 MB; a brief is a page of text"
    assert len(read_text(written(tmp_path, b"#\n" * (LARGEST // 2)))) == LARGEST


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, GOOD.encode())

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert complaint(path) == f"{path}: the file cannot be read (permission denied); check its permissions and its path"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    assert "this is not a file" in complaint(tmp_path / "pipe.toml")


@given(st.binary(max_size=200))
@settings(deadline=None)
def test_any_bytes_give_a_brief_or_errors_of_one_line(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    check_bytes(tmp_path_factory, data)


@given(
    st.lists(
        st.tuples(
            st.integers(0, len(GOOD)),
            st.integers(0, 6),
            st.binary(max_size=3)
            | st.sampled_from([b'"', b"[", b"]\n", b"=", b"\n[parts.", b"#", b"{", b"-", b"9", b"."]),
        ),
        min_size=1,
        max_size=4,
    )
)
@settings(deadline=None, max_examples=150)
def test_any_change_of_a_good_brief_gives_a_brief_or_errors(
    tmp_path_factory: pytest.TempPathFactory, changes: list[tuple[int, int, bytes]]
) -> None:
    data = GOOD.encode()
    for start, length, new in changes:
        data = data[:start] + new + data[start + length :]
    check_bytes(tmp_path_factory, data)


def check_bytes(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    lines = data.decode("utf-8", "replace").split("\n")
    for error in errors_in(written(tmp_path_factory.getbasetemp(), data)):
        assert "\n" not in str(error)
        assert "; " in str(error)
        if error.line is not None and error.column is not None:
            assert 1 <= error.line <= len(lines)
            assert 1 <= error.column <= len(lines[error.line - 1]) + 1


def errors_in(path: Path) -> tuple[BriefError, ...]:
    """The errors of a file; none where it is a good brief. Any other exception fails the test."""
    try:
        read_brief(path)
    except BriefErrors as errors:
        return errors.errors
    return ()
