"""Jobs: their order, stopping, sketches that become final in their place. The process that solves is a fake here."""

from __future__ import annotations

import threading
from collections.abc import Callable
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import pytest

from solver.arrangement import Arrangement, Note, Ranked
from solver.page.jobs import DONE, FAILED, RUNNING, WAITING, Jobs
from solver.page.orders import Ended, Found, Order, Progressed, Solve, Stop
from solver.page.refusal import Refusal


def ranked(total: float, *onsets: int, pitch: int = 60) -> Ranked:
    return Ranked(Arrangement(tuple(Note("lead", onset, 1, pitch) for onset in onsets)), total, 100, False, ())


class Desk(Jobs):
    """Jobs whose process is this test: what is asked of it can be read, and it answers at once."""

    def __init__(self) -> None:
        super().__init__(Path())
        self.theirs: Connection | None = None
        self._begun = False

    def start(self) -> None:
        """No process: a pipe whose other end the test holds."""
        if not self._begun:
            self._begun = True
            self._connection, self.theirs = Pipe()

    def asked(self) -> Any:
        assert self.theirs is not None
        assert self.theirs.poll(5)
        return self.theirs.recv()

    def answer(self, message: Any) -> None:
        with self._lock:
            self._note(message)


def test_a_job_runs_and_the_next_one_waits_for_it() -> None:
    desk = Desk()
    first, second = desk.submit(Order("one")), desk.submit(Order("two"))
    assert (first.state, second.state) == (RUNNING, WAITING)
    assert desk.asked() == Solve(1, Order("one"))
    desk.answer(Progressed(1, "1 of 6"))
    assert first.words == "1 of 6"
    desk.answer(Ended(1, "take-001"))
    assert (first.state, first.take, second.state) == (DONE, "take-001", RUNNING)
    assert desk.asked() == Solve(2, Order("two"))


def test_replacing_stops_what_runs_and_drops_what_waits() -> None:
    desk = Desk()
    first, second = desk.submit(Order("one")), desk.submit(Order("two"))
    third = desk.submit(Order("three"), replace=True)
    assert [desk.asked(), desk.asked()] == [Solve(1, Order("one")), Stop(1)]
    assert (first.state, first.stopping, second.state, third.state) == (RUNNING, True, FAILED, WAITING)
    desk.answer(Ended(1, "take-001"))
    assert third.state == RUNNING


def test_a_sketch_becomes_final_in_its_place() -> None:
    desk = Desk()
    job = desk.submit(Order("one"))
    desk.answer(Found(1, ranked(60, 0, 4), "text", 0))
    desk.answer(Found(1, ranked(50, 0, 2, 4), "text", 1))
    desk.answer(Found(1, ranked(70, 0, 4, pitch=62), "text", 0))
    desk.answer(Found(1, ranked(80, 0, 4, pitch=64), "text"))
    found = job.data()["found"]
    assert [(entry["number"], entry["total"], entry["final"]) for entry in found] == [(1, 80, True), (2, 50, False)]
    desk.answer(Found(1, ranked(90, 0, 8), "text"))
    assert [entry["number"] for entry in job.data()["found"]] == [3, 1, 2]
    desk.answer(Ended(1, "take-001"))
    assert [entry["number"] for entry in job.data()["found"]] == [3, 1]


def test_what_went_wrong_is_told_with_its_facts() -> None:
    desk = Desk()
    job = desk.submit(Order("one"))
    desk.answer(Ended(1, None, "cannot be satisfied", {"conflicts": [{"lines": []}]}))
    assert (job.state, job.data()["message"], job.data()["conflicts"]) == (
        FAILED,
        "cannot be satisfied",
        [{"lines": []}],
    )


@pytest.mark.parametrize("name", ["job-9", "job-", "9", "job--1", "take-001"])
def test_a_job_that_is_not_there(name: str) -> None:
    with pytest.raises(Refusal):
        Desk().job(name)


def test_only_the_latest_jobs_are_remembered() -> None:
    desk = Desk()
    for number in range(1, 30):
        desk.submit(Order("one"))
        desk.answer(Ended(number, "take-001"))
    assert 10 < len(desk.data()) < 16


def test_a_process_that_dies_fails_its_job_and_the_next_one_gets_a_new_one() -> None:
    desk = Desk()
    first = desk.submit(Order("one"))
    assert desk.theirs is not None
    listener = threading.Thread(target=desk._hear, args=(desk._connection,))
    listener.start()
    desk.theirs.close()
    listener.join(5)
    assert first.state == FAILED
    assert "take" in first.message


def test_many_threads_may_submit() -> None:
    desk = Desk()
    threads = [threading.Thread(target=_submit(desk, number)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(job["name"] for job in desk.data()) == sorted(f"job-{number}" for number in range(1, 9))
    assert sum(job["state"] == RUNNING for job in desk.data()) == 1


def _submit(desk: Desk, number: int) -> Callable[[], object]:
    return lambda: desk.submit(Order(f"brief {number}"))
