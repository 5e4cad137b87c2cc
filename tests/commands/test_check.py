"""``sennit check``: a brief alone, and a MIDI file held against it."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from solver.arrangement import Arrangement
from solver.brief.plan import Plan
from solver.check import breaches
from solver.cli import run
from solver.export.midi import midi_bytes
from solver.search.outcome import NoArrangement, Outcome
from solver.search.pool import arrange
from solver.take import TakeHeader, open_take
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_arrangements import sample_arrangement, sample_ranked
from tests.export.sample_plans import sample_plan

ROOT = Path(__file__).parents[2]


@pytest.fixture
def brief(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return write_brief(tmp_path).relative_to(tmp_path)


@pytest.fixture
def plan() -> Plan:
    return sample_plan(NAME)


@pytest.fixture
def edited(brief: Path, plan: Plan) -> Arrangement:
    """An arrangement that a hand has moved up by a semitone, out of the scale and off the chord."""
    notes = sample_arrangement(plan).notes
    arrangement = Arrangement(tuple(replace(note, pitch=note.pitch + 1) for note in notes))
    Path("edited.mid").write_bytes(midi_bytes(plan, arrangement))
    return arrangement


@pytest.mark.parametrize(
    ("search", "code", "satisfiable", "words"),
    [
        (FakeSearch(found=1), 0, True, "can be satisfied"),
        (FakeSearch(0, NoArrangement("no rhythm of lead")), 1, False, "cannot be satisfied: no rhythm of lead; loosen"),
        (FakeSearch(0, NoArrangement("none in 3", 1)), 3, None, "undecided within the search's limit: none in 3; try"),
        (FakeSearch(0, during=lambda: signal.raise_signal(signal.SIGINT)), 130, None, "interrupted before the first"),
    ],
)
@pytest.mark.parametrize("as_json", [False, True], ids=["words", "json"])
def test_a_brief_alone(
    search: FakeSearch,
    code: int,
    satisfiable: bool | None,
    words: str,
    as_json: bool,
    brief: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr("solver.search.pool.arrange", search)
    assert run(["check", str(brief), *(["--json"] if as_json else [])]) == code
    said = capsys.readouterr()
    if as_json:
        facts = json.loads(said.out)
        assert set(facts) == {"brief", "satisfiable", "reason", "remarks", "conflicts"}
        assert (facts["brief"], facts["satisfiable"]) == (str(brief), satisfiable)
        assert facts["reason"].startswith("" if code == 0 else words)
    else:
        assert (said.out or said.err).startswith(f"{brief}: {words}")
    assert said.err.count("\n") == (0 if code == 0 else 1)
    assert not Path("out").exists()


def test_the_first_solution_is_answer_enough(brief: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[bool] = []

    def look(plan: Plan, *, stop: Callable[[], bool], **options: Any) -> Outcome:
        asked.append(stop())
        outcome = FakeSearch(found=1)(plan, stop=stop, **options)
        asked.append(stop())
        return outcome

    monkeypatch.setattr("solver.search.pool.arrange", look)
    assert run(["check", str(brief)]) == 0
    assert asked == [False, True]


def test_breaches_with_part_bar_and_beat(
    brief: Path, plan: Plan, edited: Arrangement, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    expected = breaches(plan, edited)
    assert len(expected) > 3
    monkeypatch.setenv("COLUMNS", "200")
    assert run(["check", str(brief), "edited.mid"]) == 1
    said = capsys.readouterr()
    assert said.err == ""
    lines = said.out.splitlines()
    assert lines[0].split() == ["part", "bar", "beat", "rule", "why"]
    for line, breach in zip(lines[2:], expected, strict=False):
        bar, beat = plan.metre.bar_and_beat(breach.slot)
        assert line.split()[:3] == [breach.part or "all", str(bar), f"{beat:g}"]
        assert breach.rule in line
        assert breach.why in line
    rules = {breach.rule for breach in expected}
    assert lines[-1].startswith(f"edited.mid: {len(expected)} breach")
    assert f" of {len(rules)} rule" in lines[-1]


def test_breaches_as_json(brief: Path, plan: Plan, edited: Arrangement, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(brief), "edited.mid", "--json"]) == 1
    facts = json.loads(capsys.readouterr().out)
    assert (facts["brief"], facts["file"], facts["remarks"]) == (str(brief), "edited.mid", [])
    expected = breaches(plan, edited)
    assert [(row["rule"], row["part"], row["why"]) for row in facts["breaches"]] == [
        (breach.rule, breach.part, breach.why) for breach in expected
    ]
    assert [(row["bar"], row["beat"]) for row in facts["breaches"]] == [
        plan.metre.bar_and_beat(breach.slot) for breach in expected
    ]


def test_what_the_search_found_keeps_every_rule_as_a_file_too(
    brief: Path, plan: Plan, capsys: pytest.CaptureFixture[str]
) -> None:
    (found,) = arrange(plan, count=1).arrangements
    Path("found.mid").write_bytes(midi_bytes(plan, found.arrangement))
    assert run(["check", str(brief), "found.mid"]) == 0
    assert capsys.readouterr().out == f"found.mid: keeps every rule of {brief}\n"
    assert run(["check", str(brief), "found.mid", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["breaches"] == []


def test_what_was_mended_in_a_file_is_told(brief: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = sample_plan("ferry-lights")
    Path("other.mid").write_bytes(midi_bytes(other, sample_arrangement(other)))
    assert run(["check", str(brief), "other.mid"]) == 1
    assert "other.mid: the file's tempo is 138, the brief's 200" in capsys.readouterr().out.splitlines()


@pytest.mark.parametrize(
    ("content", "words"),
    [(None, "cannot be read (No such file or directory)"), (b"", ""), (b"MThd", ""), (b"RIFF1234WAVE", "")],
)
def test_a_file_that_is_no_midi_is_one_line(
    content: bytes | None, words: str, brief: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if content is not None:
        Path("x.mid").write_bytes(content)
    assert run(["check", str(brief), "x.mid"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"x.mid: {words}")
    assert said.err.count("\n") == 1


def test_a_wrong_brief_comes_before_the_file(brief: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief.write_text("bars = 8\n", encoding="utf-8")
    assert run(["check", str(brief), "missing.mid"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 3
    assert all(line.startswith(f"{brief}:1:1: the key") for line in lines)


def test_a_file_is_checked_without_the_solver(brief: Path, edited: Arrangement, tmp_path: Path) -> None:
    script = (
        "import sys; from solver.cli import run; code = run(['check', *sys.argv[1:]]); "
        "print(code, sorted({'ortools', 'solver.search.model', 'numpy', 'scipy'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / brief), str(tmp_path / "edited.mid")],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    assert done.stdout.splitlines()[-1] == "1 []"


def test_a_take_excuses_what_its_locked_notes_break_and_nothing_else(
    plan: Plan, edited: Arrangement, capsys: pytest.CaptureFixture[str]
) -> None:
    every = breaches(plan, edited)
    text = Path(f"{NAME}.toml").read_text(encoding="utf-8")
    ranked = replace(sample_ranked(plan, 1)[0], arrangement=edited)
    for excused in (every[:1], every):
        with open_take(Path("out"), TakeHeader(NAME, text, 0), plan) as take:
            made = take.finish([replace(ranked, excused=tuple(excused))])
        code = run(["check", str(made), str(made / "1.mid"), "--json"])
        facts = json.loads(capsys.readouterr().out)
        assert code == (0 if len(excused) == len(every) else 1)
        assert len(facts["excused"]) == len({(b.rule, b.slot) for b in every} & {(b.rule, b.slot) for b in excused})
        assert len(facts["excused"]) + len(facts["breaches"]) == len(every)
    assert run(["check", str(made)]) == 2
    assert "name the MIDI file" in capsys.readouterr().err
