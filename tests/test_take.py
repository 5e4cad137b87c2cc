"""Takes as the commands use them: numbered, crash-safe, never overwritten, the same bytes again."""

from __future__ import annotations

import json
import os
import shutil
import signal
from collections.abc import Callable
from multiprocessing import Pipe, get_context
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from unittest import mock

import pytest

from solver.take import Parent, TakeError, TakeHeader, complete_unfinished, list_takes, open_take, read_take
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan

NAME = "one-rope"
PLAN = sample_plan(NAME)
HEADER = TakeHeader(NAME, TEXTS[NAME], 5, {"count": 2, "time": None}, Parent("take-002", 1), ("lead",), ("low bar 1",))


def visible(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


def hidden(folder: Path) -> list[Path]:
    return sorted(folder.glob(".unfinished-*"))


def make(folder: Path, count: int = 2) -> Path:
    with open_take(folder, HEADER, PLAN) as take:
        return take.finish(sample_ranked(PLAN, count))


def begun(work: Callable[[Connection, Path], None], folder: Path) -> tuple[ForkServerProcess, Connection]:
    """Another process at work, and the pipe to it. One server has what they all import and is forked for each."""
    server = get_context("forkserver")
    server.set_forkserver_preload([__name__, "solver.takes.files", "solver.export.page", "scipy.signal"])
    here, there = Pipe()
    process = server.Process(target=work, args=(there, folder))
    process.start()
    there.close()
    return process, here


def test_a_take_holds_its_record_its_page_and_three_files_an_arrangement(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    ranked = sample_ranked(PLAN, 2)
    with open_take(tmp_path / "out" / NAME, HEADER, PLAN) as take:
        for item in ranked:
            take.add(item)
        assert visible(tmp_path / "out" / NAME) == []
        folder = take.finish(ranked, lambda done, of: told.append((done, of)))
    assert folder == tmp_path / "out" / NAME / "take-001"
    assert visible(folder) == ["1.mid", "1.svg", "1.wav", "2.mid", "2.svg", "2.wav", "index.html", "take.json"]
    assert sorted(path.name for path in folder.iterdir()) == visible(folder)
    assert hidden(folder.parent) == []
    assert told == [(1, 2), (2, 2)]


def test_it_reads_back_as_it_was(tmp_path: Path) -> None:
    ranked = sample_ranked(PLAN, 3)
    with open_take(tmp_path, HEADER, PLAN) as take:
        folder = take.finish(ranked)
    for path in (folder, folder / "take.json"):
        read = read_take(path)
        assert read.header == HEADER
        assert list(read.arrangements) == ranked
        assert (read.name, read.sound) == ("take-001", "plucked-string model")


def test_the_same_arrangements_make_the_same_bytes_on_any_number_of_cores(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    one = make(tmp_path / "a", 4)
    monkeypatch.setattr(os, "cpu_count", lambda: 4)
    two = make(tmp_path / "b", 4)
    assert visible(one) == visible(two)
    for name in visible(one):
        assert (one / name).read_bytes() == (two / name).read_bytes(), name


def test_numbers_go_on_from_the_highest_through_gaps_and_past_999(tmp_path: Path) -> None:
    for number in ("take-003", "take-0007", "take-x", "taken-100", "take-12"):
        (tmp_path / number).mkdir()
    assert make(tmp_path, 1).name == "take-008"
    (tmp_path / "take-999").write_text("a file takes a number too")
    assert make(tmp_path, 1).name == "take-1000"
    assert make(tmp_path, 1).name == "take-1001"
    assert [path.name for path in list_takes(tmp_path)][-3:] == ["take-999", "take-1000", "take-1001"]
    assert (tmp_path / "take-003").is_dir()


def test_a_take_without_arrangements_leaves_nothing(tmp_path: Path) -> None:
    with open_take(tmp_path, HEADER, PLAN) as take, pytest.raises(ValueError, match="at least one"):
        take.finish([])
    assert visible(tmp_path) == []
    assert hidden(tmp_path) == []


def test_what_an_error_interrupts_is_completed_by_the_next_command(tmp_path: Path) -> None:
    first, second = sample_ranked(PLAN, 2)
    with pytest.raises(RuntimeError), open_take(tmp_path, HEADER) as take:  # noqa: PT012
        take.add(second)
        take.add(first)
        raise RuntimeError
    assert visible(tmp_path) == []
    (folder,) = complete_unfinished(tmp_path)
    assert list(read_take(folder).arrangements) == [first, second]
    assert read_take(folder).header == HEADER
    assert hidden(tmp_path) == []
    assert complete_unfinished(tmp_path) == []


def gather(pipe: Connection, folder: Path) -> None:
    """Add three arrangements, say so, and wait for ever."""
    take = open_take(folder, HEADER)
    for item in sample_ranked(PLAN, 3):
        take.add(item)
    pipe.send("added")
    pipe.recv()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")
def test_a_killed_process_loses_nothing(tmp_path: Path) -> None:
    process, pipe = begun(gather, tmp_path)
    assert pipe.recv() == "added"
    assert complete_unfinished(tmp_path) == []  # a live process holds it
    process.kill()
    process.join()
    (folder,) = complete_unfinished(tmp_path)
    assert list(read_take(folder).arrangements) == sample_ranked(PLAN, 3)
    assert hidden(tmp_path) == []


def die(*_: object, **__: object) -> None:
    """What a crash is to this process."""
    os.kill(os.getpid(), signal.SIGKILL)


def finish_and_die(pipe: Connection, folder: Path) -> None:
    """Finish a take, but for the moment that the pipe names."""
    take = open_take(folder, HEADER, PLAN)
    for item in sample_ranked(PLAN, 3):
        take.add(item)
    with mock.patch(pipe.recv(), die):
        take.finish(sample_ranked(PLAN, 3)[:2])


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs SIGKILL")
@pytest.mark.parametrize(
    "moment",
    [
        "solver.takes.files.write_files",
        "solver.takes.files.page_html",
        "solver.takes.folder.take_text",
        "solver.takes.folder._rename",
        "solver.takes.folder._next_number",
        "solver.takes.folder._let_go",
    ],
)
def test_a_process_killed_at_any_step_of_finishing_leaves_one_whole_take(tmp_path: Path, moment: str) -> None:
    process, pipe = begun(finish_and_die, tmp_path)
    pipe.send(moment)
    process.join()
    assert process.exitcode == -signal.SIGKILL
    completed = complete_unfinished(tmp_path)
    assert visible(tmp_path) == ["take-001"]
    assert completed == ([] if moment.endswith("_let_go") else [tmp_path / "take-001"])
    assert list(read_take(tmp_path / "take-001").arrangements) == sample_ranked(PLAN, 2)
    assert visible(tmp_path / "take-001") == visible(make(tmp_path / "other"))
    assert hidden(tmp_path) == []


def make_when_told(pipe: Connection, folder: Path) -> None:
    """Wait for a word, and answer with the name of the take that was made."""
    pipe.recv()
    pipe.send(make(folder, 1).name)


def test_processes_that_finish_at_once_get_numbers_of_their_own(tmp_path: Path) -> None:
    processes = [begun(make_when_told, tmp_path) for _ in range(3)]
    for _, pipe in processes:
        pipe.send("go")
    names = sorted(pipe.recv() for _, pipe in processes)
    for process, _ in processes:
        process.join()
    assert names == ["take-001", "take-002", "take-003"]
    assert visible(tmp_path) == names
    assert hidden(tmp_path) == []


def test_leftovers_that_cannot_be_completed_are_told_and_left(tmp_path: Path) -> None:
    with open_take(tmp_path, HEADER) as take:
        take.add(sample_ranked(PLAN, 1)[0])
    (broken,) = [path for path in hidden(tmp_path) if path.is_dir()]
    (broken / "header.json").write_text("{}")
    told: list[str] = []
    assert complete_unfinished(tmp_path, told.append) == []
    assert len(told) == 1
    assert told[0].startswith(f"{broken}: cannot be completed")
    assert "\n" not in told[0]
    assert broken.is_dir()
    assert make(tmp_path, 1).name == "take-001"


def test_completing_where_there_is_nothing(tmp_path: Path) -> None:
    assert complete_unfinished(tmp_path / "none") == []
    assert list_takes(tmp_path / "none") == []


def test_a_folder_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(TakeError, match="no take can be written here") as caught:
        open_take(tmp_path / "out" / NAME, HEADER, PLAN)
    assert "\n" not in str(caught.value)


def test_no_file_tells_the_time_or_the_machine(tmp_path: Path) -> None:
    folder = make(tmp_path / "secret-place", 1)
    for path in folder.iterdir():
        assert b"secret-place" not in path.read_bytes(), path.name
    record = json.loads((folder / "take.json").read_text(encoding="utf-8"))
    assert not {"date", "time", "created", "user", "host"} & set(record)


def test_sketches_are_completed_only_where_nothing_was_finished(tmp_path: Path) -> None:
    plan = sample_plan(NAME)
    first, second = sample_ranked(plan, 2)
    for finished in ([], [first]):
        folder = tmp_path / str(len(finished))
        with open_take(folder, HEADER, plan) as take:
            take.sketch(0, first)
            take.sketch(0, second)
            for ranked in finished:
                take.add(ranked)
            (path,) = (path for path in hidden(folder) if path.is_dir())
            copy = shutil.copytree(path, tmp_path / f"copy-{len(finished)}" / path.name).parent
        (made,) = complete_unfinished(copy)
        assert list(read_take(made).arrangements) == (finished or [second])
        assert not list(made.glob("sketch-*"))
