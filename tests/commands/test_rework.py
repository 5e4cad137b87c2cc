"""``sennit rework``: what it asks of the search, what it writes and prints, and what it refuses in one line."""

from __future__ import annotations

import json
import shutil
import signal
from dataclasses import replace
from pathlib import Path

import pytest

from solver.cli import run
from solver.export.midi import midi_bytes
from solver.rules.rule import Breach
from solver.search.outcome import NoArrangement
from solver.search.variety import FAR, LEAST, NEAR
from solver.take import Parent, TakeHeader, open_take, read_take
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_arrangements import sample_arrangement, sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan

TAKE = Path("out") / NAME / "take-001"
PART = sample_plan(NAME).parts[0].name

REFUSAL = """\
out/one-rope/take-001: cannot be satisfied: \
no arrangement in 1 rhythm keeps every rule and is as far from others as asked
these cannot hold together at bar 1, beat 1 in its one rhythm:
  one-rope.toml:6:10: chords = ["G"]
  one-rope.toml:11:9: lead: range = "G4..A4"
  what meets there: every chord tone sounds
what helps, each tried by solving, the nearest first:
  raise the top of lead's range from A4 to D5
  lower the bottom of lead's range from G4 to B3
"""


@pytest.fixture(scope="module")
def workspace(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a brief of one bar and one part, and a take of three arrangements of it."""
    folder = tmp_path_factory.mktemp("workspace")
    header = TakeHeader(NAME, TEXTS[NAME], 0, {"count": None, "time": None})
    with open_take(folder / TAKE.parent, header, sample_plan(NAME)) as gathered:
        gathered.finish(sample_ranked(sample_plan(NAME), 3))
    write_brief(folder)
    return folder


@pytest.fixture
def take(workspace: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The take, in a copy of its own."""
    shutil.copytree(workspace, tmp_path / "copy")
    monkeypatch.chdir(tmp_path / "copy")
    return TAKE


def searching(monkeypatch: pytest.MonkeyPatch, search: FakeSearch) -> FakeSearch:
    monkeypatch.setattr("solver.search.pool.arrange", search)
    return search


def test_it_writes_the_next_take_beside_the_one_it_came_from(take: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    search = searching(monkeypatch, FakeSearch(found=2))
    arguments = ["--from", "2", "--lock", f"{PART}:rhythm", "--change", "tempo = 97", "--count", "2", "--seed", "5"]
    assert run(["rework", str(take), *arguments]) == 0
    made = read_take(take.parent / "take-002")
    assert made.header.parent == Parent("take-001", 2)
    assert made.header.locks == (f"{PART}:rhythm",)
    assert made.header.changes == ("tempo = 97",)
    assert "tempo = 97" in made.header.brief_text
    assert made.header.seed == 5
    (asked,) = search.asked
    assert (asked["count"], asked["seed"], asked["seconds"]) == (2, 5, None)
    assert asked["variety"].seen == (sample_ranked(sample_plan(NAME), 3)[1].arrangement,)
    assert asked["variety"].least == LEAST


def test_out_names_another_folder(take: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    searching(monkeypatch, FakeSearch(found=1))
    assert run(["rework", str(take), "--out", "elsewhere"]) == 0
    assert (Path("elsewhere") / NAME / "take-001").is_dir()
    assert not (take.parent / "take-002").exists()


def test_like_and_unlike(take: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    search = searching(monkeypatch, FakeSearch(found=2))
    assert run(["rework", str(take), "--like", "3", "--more", "2"]) == 0
    assert run(["rework", str(take), "--unlike", "--more", "2"]) == 0
    like, unlike = (asked["variety"] for asked in search.asked)
    third = sample_ranked(sample_plan(NAME), 3)[2].arrangement
    assert (like.near, like.least, like.most) == (third, *NEAR)
    assert len(search.asked[0]["rhythms"]) == 2
    assert (unlike.near, unlike.least) == (None, FAR)
    assert len(unlike.seen) == 3  # of two takes, what is the same counted once
    assert read_take(take.parent / "take-002").header.options["like"] is True


def test_the_table_has_the_distances_and_the_notices(
    take: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def excuse(*arguments: object, **options: object) -> object:
        outcome = FakeSearch(found=2)(*arguments, **options)  # pyright: ignore[reportArgumentType, reportCallIssue]
        breach = Breach("in the scale", PART, 0, "C#4 is not in the key")
        first, second = outcome.arrangements
        return replace(outcome, arrangements=(replace(first, excused=(breach,)), second))

    monkeypatch.setattr("solver.search.pool.arrange", excuse)
    monkeypatch.setenv("COLUMNS", "120")
    assert run(["rework", str(take), "--from", "1"]) == 0
    shown = capsys.readouterr().out.splitlines()
    assert shown[0].split()[:3] == ["rank", "total", "differs"]
    assert shown[2].split()[:4] == ["1", "91.2", "0", "%"]
    assert f'excused in 1: {PART}: locked notes break "in the scale" (bar 1, beat 1)' in shown
    assert run(["rework", str(take), "--from", "1", "--json"]) == 0
    facts = json.loads(capsys.readouterr().out)
    assert facts["take"] == f"out/{NAME}/take-003"
    assert facts["arrangements"][0]["distance"] == 0
    assert facts["arrangements"][0]["excused"][0]["rule"] == "in the scale"
    assert "excused" not in facts["arrangements"][1]


def test_a_midi_file_is_reworked_against_a_brief(take: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = sample_plan(NAME)
    Path("edited.mid").write_bytes(midi_bytes(plan, sample_arrangement(plan, 4)))
    search = searching(monkeypatch, FakeSearch(found=1))
    assert run(["rework", f"{NAME}.toml", "--from-midi", "edited.mid", "--lock", f"{PART}:pitch"]) == 0
    header = read_take(take.parent / "take-002").header
    assert (header.parent, header.options["from"]) == (None, "edited.mid")
    notes = search.asked[0]["variety"].seen[0].notes
    assert [(n.onset, n.pitch) for n in notes] == [(n.onset, n.pitch) for n in sample_arrangement(plan, 4).notes]


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["--lock", PART], "everything is locked, so nothing is left to solve; "),
        (["--lock", "nobody"], 'there is no part "nobody" to lock; '),
        (["--lock", f"{PART}:2"], "reaches bar 2, the loop has 1; "),
        (["--lock", f"{PART}:loud"], "is no lock; "),
        (["--from", "4"], "there is no arrangement 4; write a number from 1 to 3"),
        (["--change", "bars = 99"], "--change bars = 99: bars is 99; "),
        (["--change", "bars"], "--change bars: not valid TOML: "),
        (["--like", "1", "--change", "bars = 2"], "change those without --like"),
        (["--like", "1", "--unlike"], "exclude each other"),
        (["--from", "1", "--like", "1"], "exclude each other"),
        (["--from-midi", "nowhere.mid"], "is a folder"),
    ],
)
def test_one_line_and_no_take(take: Path, arguments: list[str], line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rework", str(take), *arguments]) == 2
    said = capsys.readouterr().err
    assert line in said
    assert said.count("\n") == 1
    assert not (take.parent / "take-002").exists()


def test_every_wrong_lock_has_a_line(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rework", str(take), "--lock", "nobody", "--lock", f"{PART}:2", "--lock", f"{PART}:loud"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line.split(": ", 1)[0] for line in lines] == [str(take)] * 3
    assert [word in line for word, line in zip(("nobody", "bar 2", "loud"), lines, strict=True)] == [True] * 3
    assert not (take.parent / "take-002").exists()


@pytest.mark.parametrize(
    ("search", "code"),
    [
        (FakeSearch(0, NoArrangement("none")), 1),
        (FakeSearch(0, NoArrangement("none", 1)), 3),
        (FakeSearch(0, during=lambda: signal.raise_signal(signal.SIGINT)), 130),
        (FakeSearch(1, during=lambda: signal.raise_signal(signal.SIGINT)), 130),
        (FakeSearch(1, exhausted=True, remarks=("only 1",)), 0),
    ],
)
def test_exit_codes(take: Path, search: FakeSearch, code: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.search.pool.arrange", search)
    assert run(["rework", str(take)]) == code
    assert (take.parent / "take-002").exists() == bool(search.found)


def test_a_refusal_says_which_lines_collide_what_helps_and_begins_no_take(
    take: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(take.parent.rglob("*"))
    wish = ["--lock", "lead:rhythm", "--change", 'parts.lead.range = "G4..A4"']
    assert run(["rework", str(take), *wish]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == REFUSAL
    assert sorted(take.parent.rglob("*")) == before


def test_a_take_that_is_not_there(take: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rework", "out/nothing"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
