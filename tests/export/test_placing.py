"""Many files at once, whole or not at all."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from solver.export.placing import check_place, place

FILES = [("a.txt", b"one"), ("dry/b.txt", b"two"), ("dry/deep/c.bin", bytes(1000))]


@pytest.mark.parametrize("zipped", [False, True])
def test_everything_is_there_under_the_name_and_nothing_else(tmp_path: Path, zipped: bool) -> None:
    placed = place(tmp_path / "new" / "place", "Pier - C major", FILES, zipped=zipped)
    assert placed.path == tmp_path / "new" / "place" / ("Pier - C major.zip" if zipped else "Pier - C major")
    assert placed.files == tuple(name for name, _ in FILES)
    assert os.listdir(tmp_path / "new" / "place") == [placed.path.name]
    if zipped:
        with zipfile.ZipFile(placed.path) as archive:
            assert archive.testzip() is None
            assert {name: archive.read(name) for name in archive.namelist()} == {
                f"Pier - C major/{name}": content for name, content in FILES
            }
    else:
        found = {str(path.relative_to(placed.path)): path.read_bytes() for path in placed.path.rglob("*.*")}
        assert found == dict(FILES)


@pytest.mark.parametrize("zipped", [False, True])
def test_nothing_is_overwritten(tmp_path: Path, zipped: bool) -> None:
    paths = [place(tmp_path, "pier", FILES, zipped=zipped).path for _ in range(3)]
    assert [path.stem for path in paths] == ["pier", "pier (2)", "pier (3)"]


def test_a_folder_and_a_zip_of_one_name_stand_side_by_side(tmp_path: Path) -> None:
    paths = [place(tmp_path, "pier", FILES, zipped=zipped).path.name for zipped in (False, True, True, False)]
    assert paths == ["pier", "pier.zip", "pier (2).zip", "pier (2)"]


def test_a_zip_in_capitals_has_the_name_too(tmp_path: Path) -> None:
    (tmp_path / "PIER.ZIP").write_bytes(b"")
    assert place(tmp_path, "pier", FILES, zipped=True).path.name == "pier (2).zip"


def test_equal_files_give_equal_zips(tmp_path: Path) -> None:
    one, two = (place(tmp_path / name, "pier", FILES, zipped=True).path.read_bytes() for name in "ab")
    assert one == two


@pytest.mark.parametrize("zipped", [False, True])
@pytest.mark.parametrize("error", [OSError("disk full"), KeyboardInterrupt()])
def test_whatever_goes_wrong_on_the_way_leaves_nothing(tmp_path: Path, zipped: bool, error: BaseException) -> None:
    def broken() -> Iterator[tuple[str, bytes]]:
        yield FILES[0]
        raise error

    with pytest.raises(type(error)):
        place(tmp_path, "pier", broken(), zipped=zipped)
    assert os.listdir(tmp_path) == []


def test_what_a_killed_process_left_is_cleared_away_and_a_live_one_left_alone(tmp_path: Path) -> None:
    code = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from solver.export.placing import place\n"
        "def files():\n"
        "    yield 'a.txt', b'one'\n"
        "    print('begun', flush=True)\n"
        "    time.sleep(60)\n"
        "place(Path(sys.argv[1]), 'pier', files())\n"
    )
    process = subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "begun\n"
    left = sorted(os.listdir(tmp_path))
    assert len(left) == 2
    assert all(name.startswith(".unfinished-export-") for name in left)
    place(tmp_path, "other", FILES)
    assert sorted(os.listdir(tmp_path)) == [*left, "other"]
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    place(tmp_path, "third", FILES)
    assert sorted(os.listdir(tmp_path)) == ["other", "third"]


def test_a_folder_that_cannot_be_written_is_named_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.access", lambda path, mode: False)  # permission bits mean nothing to a superuser
    with pytest.raises(PermissionError) as caught:
        place(tmp_path, "pier", FILES)
    assert caught.value.filename == str(tmp_path)
    with pytest.raises(PermissionError) as caught:
        place(tmp_path / "new" / "one", "pier", FILES)
    assert caught.value.filename == str(tmp_path)
    assert os.listdir(tmp_path) == []


def test_a_file_in_the_way_is_named(tmp_path: Path) -> None:
    (tmp_path / "taken").write_bytes(b"")
    with pytest.raises(NotADirectoryError) as caught:
        check_place(tmp_path / "taken" / "inside")
    assert caught.value.filename == str(tmp_path / "taken")
