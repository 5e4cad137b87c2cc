"""``sennit arrange`` over a search that finds what the test wants: takes, tables, JSON, exit codes."""

from __future__ import annotations

import json
import signal
from pathlib import Path

import pytest

from solver.cli import run
from solver.search.outcome import BrokenRule, NoArrangement
from solver.take import read_take
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import sample_plan


@pytest.fixture
def brief(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return write_brief(tmp_path).relative_to(tmp_path)


def searching(monkeypatch: pytest.MonkeyPatch, search: FakeSearch) -> FakeSearch:
    monkeypatch.setattr("solver.search.pool.arrange", search)
    return search


def takes(folder: Path = Path("out")) -> list[str]:
    return sorted(path.as_posix() for path in folder.glob("*/take-*"))


def test_it_writes_the_next_take(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    search = searching(monkeypatch, FakeSearch(found=2))
    assert run(["arrange", str(brief)]) == 0
    assert run(["arrange", str(brief), "--seed", "9", "--count", "2"]) == 0
    assert takes() == [f"out/{NAME}/take-001", f"out/{NAME}/take-002"]
    first, second = (read_take(Path(path)) for path in takes())
    assert list(first.arrangements) == sample_ranked(sample_plan(NAME), 2)
    assert first.header.brief_text == brief.read_text(encoding="utf-8")
    assert (first.header.brief_name, first.header.seed, first.header.options) == (
        NAME,
        0,
        {"count": None, "time": None},
    )
    assert (second.header.seed, second.header.options) == (9, {"count": 2, "time": None})
    assert search.asked == [
        {"count": 6, "seed": 0, "seconds": None},
        {"count": 2, "seed": 9, "seconds": None},
    ]
    assert capsys.readouterr().err == ""


def test_one_table_then_the_take_and_the_sound(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=2))
    monkeypatch.setenv("COLUMNS", "120")
    assert run(["arrange", str(brief)]) == 0
    shown = capsys.readouterr().out
    assert "\x1b" not in shown
    lines = [line.split() for line in shown.splitlines()]
    assert lines[0] == ["rank", "total", "proof", "what", "sets", "it", "apart"]
    assert lines[2][:2] == ["1", "91.2"]
    assert "best possible for this rhythm" in shown.splitlines()[2]
    assert lines[3][:2] == ["2", "88.8"]
    assert "within 1.7 %" in shown.splitlines()[3]
    assert "the lead turns up at the end; the low part walks down (2)" in shown.splitlines()[3]
    assert f"take: out/{NAME}/take-001" in shown.splitlines()
    assert "previews: plucked-string model" in shown


def test_the_table_fits_a_narrow_terminal(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=3))
    monkeypatch.setenv("COLUMNS", "40")
    assert run(["arrange", str(brief)]) == 0
    table = capsys.readouterr().out.split("\n\n")[0].splitlines()
    assert len(table) > 10
    assert all(len(line) <= 40 for line in table)
    words = [word for line in table for word in line.split()]
    assert words.count("walks") == 3


def test_a_row_is_a_line_where_no_terminal_reads_it(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=3))
    monkeypatch.delenv("COLUMNS", raising=False)
    assert run(["arrange", str(brief)]) == 0
    table = capsys.readouterr().out.split("\n\n")[0].splitlines()
    assert [line.split()[0] for line in table[2:5]] == ["1", "2", "3"]
    assert all("walks" in line for line in table[2:5])


def test_fewer_than_asked_is_said_and_no_error(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=2, exhausted=True, remarks=("only 2 of 6 arrangements: no more exist",)))
    assert run(["arrange", str(brief)]) == 0
    said = capsys.readouterr()
    assert "only 2 of 6 arrangements: no more exist" in said.out.splitlines()
    assert said.err == ""


def test_time_that_is_up_is_said_and_that_sameness_is_given_up(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    search = searching(monkeypatch, FakeSearch(found=2))
    assert run(["arrange", str(brief), "--time", "2.5"]) == 0
    shown = capsys.readouterr().out.splitlines()
    assert "time is up: 2 of 6 arrangements are done" in shown
    assert "with a limit of time the same brief and seed may give others on another day" in shown
    assert search.asked[0]["seconds"] == 2.5
    assert read_take(Path(takes()[0])).header.options["time"] == 2.5


@pytest.mark.parametrize(
    ("ends", "arguments", "code", "words"),
    [
        (
            NoArrangement("no rhythm of lead keeps every rule"),
            [],
            1,
            "cannot be satisfied: no rhythm of lead keeps every rule; loosen what it asks for",
        ),
        (NoArrangement("none in 36 rhythms", 4), [], 3, "undecided within the search's limit: none in 36 rhythms; try"),
        (
            NoArrangement("none in 2", 2),
            ["--time", "3"],
            3,
            "undecided within the search's limit: none in 2; try",  # it ended by itself, before the time was up
        ),
        (None, ["--time", "3"], 3, "undecided when time ran out: 0 rhythms tried; give it more --time"),
    ],
)
@pytest.mark.parametrize("as_json", [False, True], ids=["words", "json"])
def test_nothing_found(
    ends: Exception | None,
    arguments: list[str],
    code: int,
    words: str,
    as_json: bool,
    brief: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    searching(monkeypatch, FakeSearch(found=0, ends=ends))
    assert run(["arrange", str(brief), *arguments, *(["--json"] if as_json else [])]) == code
    said = capsys.readouterr()
    assert said.err.startswith(f"{brief}: {words}")
    assert said.err.count("\n") == 1
    if as_json:
        facts = json.loads(said.out)
        assert (facts["take"], facts["sound"], facts["arrangements"]) == (None, None, [])
        assert facts["remarks"][0].startswith(words)
    else:
        assert said.out == ""
    assert takes() == []


def test_the_same_facts_as_json(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=2, exhausted=True, remarks=("only 2",)))
    assert run(["arrange", str(brief), "--json", "--seed", "3"]) == 0
    facts = json.loads(capsys.readouterr().out)
    assert {key: value for key, value in facts.items() if key != "arrangements"} == {
        "take": str(Path("out") / NAME / "take-001"),
        "brief": str(brief),
        "seed": 3,
        "asked": 6,
        "remarks": ["only 2"],
        "conflicts": [],
        "sound": "plucked-string model",
    }
    for rank, (shown, ranked) in enumerate(
        zip(facts["arrangements"], sample_ranked(sample_plan(NAME), 2), strict=True), start=1
    ):
        assert set(shown) == {"rank", "total", "bound", "proved", "proof", "summary", "marks", "nearest", "files"}
        assert (shown["rank"], shown["total"], shown["bound"]) == (rank, ranked.total, ranked.bound)
        assert (shown["proved"], shown["proof"], shown["summary"]) == (ranked.proved, ranked.proof, ranked.summary)
        assert [mark["merit"] for mark in shown["marks"]] == [mark.merit for mark in ranked.marks]
        assert set(shown["marks"][0]) == {"merit", "points", "weight", "sentence"}
        assert set(shown["files"]) == {"midi", "audio", "picture"}
        assert all(Path(path).is_file() for path in shown["files"].values())


def test_an_error_of_the_program_names_the_rule_and_keeps_what_was_found(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    broken = BrokenRule("largest leap: lead, bar 2, beat 3: 14 semitones")
    searching(monkeypatch, FakeSearch(found=2, ends=broken))
    assert run(["arrange", str(brief)]) == 1
    said = capsys.readouterr()
    assert said.err.startswith("sennit: an error of this program, the search broke a rule: largest leap: lead, bar 2")
    assert said.err.count("\n") == 1
    assert takes() == []
    searching(monkeypatch, FakeSearch(found=1))
    assert run(["arrange", str(brief)]) == 0
    assert capsys.readouterr().err == f"out/{NAME}/take-001: completed from a command that was cut short\n"
    assert [len(read_take(Path(path)).arrangements) for path in takes()] == [2, 1]


def test_a_key_pressed_keeps_what_is_done(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=2, during=lambda: signal.raise_signal(signal.SIGINT)))
    before = signal.getsignal(signal.SIGINT)
    assert run(["arrange", str(brief)]) == 130
    assert signal.getsignal(signal.SIGINT) == before
    assert "interrupted: 2 of 6 arrangements are done and kept" in capsys.readouterr().out.splitlines()
    assert len(read_take(Path(takes()[0])).arrangements) == 2


def test_a_key_pressed_before_anything_is_found(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=0, during=lambda: signal.raise_signal(signal.SIGINT)))
    assert run(["arrange", str(brief)]) == 130
    assert capsys.readouterr().err == f"{brief}: interrupted before the first arrangement was found\n"
    assert takes() == []


def test_takes_go_where_they_are_asked_to(brief: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    searching(monkeypatch, FakeSearch(found=1))
    assert run(["arrange", str(brief), "--out", "else/where"]) == 0
    assert takes(Path("else/where")) == [f"else/where/{NAME}/take-001"]
    assert not Path("out").exists()


def test_a_folder_that_cannot_hold_takes_is_one_line(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    searching(monkeypatch, FakeSearch(found=1))
    Path("out").write_text("a file")
    assert run(["arrange", str(brief)]) == 2
    said = capsys.readouterr()
    assert said.err.startswith(f"{Path('out') / NAME}: no take can be written here (")
    assert said.err.count("\n") == 1


def test_all_errors_of_a_brief_a_line_each_and_no_take_begun(
    brief: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    search = searching(monkeypatch, FakeSearch())
    brief.write_text('key = "H minor"\nbars = 99\nchords = ["G"]\n[parts.lead]\nrnge = 1\n', encoding="utf-8")
    assert run(["arrange", str(brief)]) == 2
    said = capsys.readouterr()
    assert [line.split(": ")[0] for line in said.err.splitlines()] == [f"{brief}:{at}" for at in ("1:7", "2:8", "5:1")]
    assert said.out == ""
    assert not Path("out").exists()
    assert search.asked == []


@pytest.mark.parametrize("name", [".toml", "..toml", "...toml"])
def test_a_name_that_cannot_be_a_folder(name: str, brief: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief.rename(name)
    assert run(["arrange", name]) == 2
    words = "takes cannot be kept under this name; rename the file to NAME.toml"
    assert capsys.readouterr().err == f"{name}: {words}\n"
