"""What a command says beside the outcome of a search."""

from __future__ import annotations

import json
import os
import signal
import threading
from pathlib import Path

import pytest
from mido import MidiFile
from ortools.sat.python.cp_model import UNKNOWN, CpModel, CpSolver, CpSolverStatus

from solver.cli import run
from solver.commands.ending import INTERRUPTED, UNDECIDED
from solver.commands.ending import REFUSED as REFUSED_CODE
from solver.export.midi import midi_bytes
from solver.search.outcome import NoArrangement
from solver.take import read_take
from tests.brief.lines import write_line
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_arrangements import sample_arrangement
from tests.export.sample_plans import TEXTS, sample_plan

OWN = TEXTS[NAME] + 'from = "my-lead.mid"\nrange = "A4..C5"\n'
SAID = "my-lead.mid: "
REFUSED = FakeSearch(0, NoArrangement("none"))
FOUND_NOTHING = [
    (REFUSED, 1),
    (FakeSearch(0, NoArrangement("none", 1)), 3),
    (FakeSearch(0, during=lambda: signal.raise_signal(signal.SIGINT)), 130),
]


@pytest.fixture
def brief(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A brief that takes its lead from a file, of which there is something to say."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("solver.search.conflicts.explaining.explain", lambda *given: None)
    write_line(Path("my-lead.mid"), bars=1)
    return str(write_brief(Path(), text=OWN))


@pytest.mark.parametrize("command", ["arrange", "check"])
@pytest.mark.parametrize(("search", "code"), FOUND_NOTHING)
def test_what_was_noticed_about_a_file_is_told_beside_a_refusal(
    brief: str,
    command: str,
    search: FakeSearch,
    code: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("solver.search.pool.arrange", search)
    assert run([command, brief]) == code
    said = capsys.readouterr()
    reason, *others = said.err.splitlines()
    assert reason.startswith(f"{brief}: ")
    assert others
    assert all(line.startswith(SAID) for line in others)
    assert said.out == ""


def test_json_has_the_reason_first_and_then_what_was_noticed(
    brief: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("solver.search.pool.arrange", REFUSED)
    assert run(["arrange", brief, "--json"]) == 1
    reason, *others = json.loads(capsys.readouterr().out)["remarks"]
    assert reason.startswith("cannot be satisfied: ")
    assert others
    assert all(line.startswith(SAID) for line in others)


def test_what_is_found_is_told_of_once(
    brief: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("solver.search.pool.arrange", FakeSearch(1))
    assert run(["arrange", brief, "--json"]) == 0
    remarks = json.loads(capsys.readouterr().out)["remarks"]
    assert [line.startswith(SAID) for line in remarks] == [True, False]  # of 6 arrangements 1 was found
    assert read_take(Path(f"out/{NAME}/take-001")).header.lines


def test_what_was_noticed_about_a_midi_file_that_is_reworked_is_told_beside_a_refusal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("solver.search.conflicts.explaining.explain", lambda *given: None)
    brief = str(write_brief(Path()))
    plan = sample_plan(NAME)
    Path("edited.mid").write_bytes(midi_bytes(plan, sample_arrangement(plan, 4)))
    file = MidiFile("edited.mid")
    for message in file.tracks[1]:
        if message.type == "note_on":
            message.time += 50
            break
    file.save("edited.mid")
    monkeypatch.setattr("solver.search.pool.arrange", REFUSED)
    assert run(["rework", brief, "--from-midi", "edited.mid"]) == 1
    reason, *others = capsys.readouterr().err.splitlines()
    assert reason.startswith(f"{brief}: cannot be satisfied: ")
    assert others
    assert all(line.startswith("edited.mid: ") for line in others)


FULL = """key = "B minor"
tempo = 60
bars = 4
chords = ["Bm"]
[parts.lead]
notes_per_bar = [13, 13]
repeat_every = 4
[parts.counter]
notes_per_bar = [3, 3]
"""


def test_rhythms_of_which_few_are_drawn_are_not_called_impossible(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The counter has to fall into the lead's three gaps a bar: that can be, but none of what is drawn does so."""
    brief = write_brief(tmp_path, text=FULL)
    assert run(["check", str(brief)]) == UNDECIDED
    said = capsys.readouterr().err
    assert "undecided within the search's limit: no rhythm was found in which the parts go together" in said


CROWDED = """key = "B minor"
tempo = 60
bars = 4
chords = ["Bm"]
[parts.lead]
notes_per_bar = [12, 12]
repeat_every = 4
"""


@pytest.fixture
def crowded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A lead on every strong slot, which leaves no syncopation: none of its two million layouts will do."""
    monkeypatch.setattr("solver.rhythm.lines.TRIES", 1)
    monkeypatch.setattr("solver.rhythm.skeletons.LAYOUTS", 50)
    return str(write_brief(tmp_path, text=CROWDED))


def test_a_part_of_whose_rhythms_some_were_looked_at_is_refused_by_a_conflict(
    crowded: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", crowded]) == REFUSED_CODE
    said = capsys.readouterr().err
    assert "cannot be satisfied: no rhythm of lead was found that keeps every rule" in said
    assert "these cannot hold together in any rhythm:" in said
    assert "notes_per_bar = [12, 12]" in said


def test_without_a_conflict_it_is_undecided(
    crowded: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("solver.search.conflicts.explaining.explain", lambda *given: None)
    assert run(["check", crowded]) == UNDECIDED
    said = capsys.readouterr().err
    assert "undecided within the search's limit: no rhythm of lead was found that keeps every rule" in said


def test_ctrl_c_is_heard_while_the_conflict_is_sought(
    crowded: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The first question has no end but this; the main thread does not hear a signal while it is in a solver."""
    ended = threading.Event()

    def interrupted(solver: CpSolver, model: CpModel) -> CpSolverStatus:
        if not ended.is_set():
            os.kill(os.getpid(), signal.SIGINT)
        assert ended.wait(60)
        return UNKNOWN

    monkeypatch.setattr(CpSolver, "solve", interrupted)
    monkeypatch.setattr(CpSolver, "stop_search", lambda solver: ended.set())
    assert run(["check", crowded]) == INTERRUPTED
    assert "interrupted before the first arrangement was found" in capsys.readouterr().err
