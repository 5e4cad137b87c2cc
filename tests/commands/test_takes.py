"""``sennit takes``: the family tree."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solver.cli import run
from solver.take import Parent, TakeHeader, open_take
from tests.commands.fake_search import NAME, write_brief
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan

FOLDER = Path("out") / NAME


def make(
    parent: Parent | None = None, locks: tuple[str, ...] = (), changes: tuple[str, ...] = (), **options: bool
) -> None:
    header = TakeHeader(NAME, TEXTS[NAME], 3, dict(options), parent, locks, changes)
    with open_take(FOLDER, header, sample_plan(NAME)) as take:
        take.finish(sample_ranked(sample_plan(NAME), 1))


@pytest.fixture
def brief(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return write_brief(tmp_path).relative_to(tmp_path)


@pytest.fixture
def family(brief: Path) -> Path:
    make()
    make(Parent("take-001", 1), ("lead", "low:1-4"))
    make(Parent("take-002", 1), ("lead",), ("tempo = 90",))
    make(Parent("take-001", 1), like=True)
    return brief


def test_each_take_stands_below_the_one_it_came_from(family: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["takes", str(family)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        str(FOLDER),
        "└── take-001: 1 arrangement, best 91.2; seed 3",
        "    ├── take-002: 1 arrangement, best 91.2; from 1 of take-001; locked lead, low:1-4; seed 3",
        "    │   └── take-003: 1 arrangement, best 91.2; from 1 of take-002; locked lead; changed tempo = 90; seed 3",
        "    └── take-004: 1 arrangement, best 91.2; from 1 of take-001; like; seed 3",
    ]


def test_the_same_as_json(family: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["takes", str(family), "--json"]) == 0
    facts = json.loads(capsys.readouterr().out)
    assert list(facts) == ["brief", "folder", "takes"]
    keys = ["take", "parent", "locks", "changes", "seed", "options", "totals", "excused"]
    assert [list(take) for take in facts["takes"]] == [keys] * 4
    assert [take["take"] for take in facts["takes"]] == ["take-001", "take-002", "take-003", "take-004"]
    assert facts["takes"][2]["parent"] == {"take": "take-002", "arrangement": 1}
    assert facts["takes"][1]["locks"] == ["lead", "low:1-4"]


def test_a_take_whose_parent_is_gone_or_broken_is_a_root(family: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (FOLDER / "take-002" / "take.json").write_text("{", encoding="utf-8")
    assert run(["takes", str(family)]) == 0
    said = capsys.readouterr()
    assert said.err.count("\n") == 1
    assert "└── take-003: 1 arrangement" in said.out
    assert "take-002:" not in said.out


def test_takes_that_are_all_broken_are_not_said_to_be_missing(family: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for record in FOLDER.glob("take-*/take.json"):
        record.write_text("{", encoding="utf-8")
    assert run(["takes", str(family)]) == 2
    said = capsys.readouterr().err
    assert "there are no takes" not in said
    assert f"{FOLDER}: none of its takes can be read" in said.splitlines()[-1]


def test_no_takes_yet(brief: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["takes", str(brief)]) == 2
    assert "make one with sennit arrange" in capsys.readouterr().err
