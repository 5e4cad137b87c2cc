"""``sennit arrange`` keeps clear of files and of earlier takes, says how near it comes, and records what it knew."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from solver.avoided import Avoided
from solver.brief.plan import Plan
from solver.cli import run
from solver.search.outcome import Outcome
from solver.take import complete_unfinished, read_take
from tests.commands.fake_search import NAME, FakeSearch, write_brief
from tests.export.sample_plans import TEXTS
from tests.study.writing import midi_of, read_loop


class Search(FakeSearch):
    """Keeps the plan that it was given."""

    plan: Plan

    def __call__(self, plan: Plan, **asked: object) -> Outcome:
        self.plan = plan
        return super().__call__(plan, **asked)  # type: ignore[arg-type]

    @property
    def sources(self) -> tuple[str, ...]:
        return tuple(source.name for source in self.plan.avoid.sources)


@pytest.fixture
def search(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Search:
    monkeypatch.chdir(tmp_path)
    found = Search()
    monkeypatch.setattr("solver.search.pool.arrange", found)
    Path("refs").mkdir()
    for name in ("mist-lanterns", "gull-watch"):
        midi_of(read_loop(name)).save(f"refs/{name}.mid")
    return found


def brief(*lines: str) -> str:
    return str(write_brief(Path(), text="\n".join((*lines, TEXTS[NAME]))))


def test_files_of_the_brief_and_of_the_command(search: Search, capsys: pytest.CaptureFixture[str]) -> None:
    path = brief('avoid = ["refs/mist-lanterns.mid"]')
    assert run(["arrange", path, "--avoid", "refs/gull-watch.mid"]) == 0
    assert search.sources == ("refs/mist-lanterns.mid", "refs/gull-watch.mid")
    shown = capsys.readouterr().out
    assert "1 is nearest to refs/mist-lanterns.mid: " in shown
    assert "2 is nearest to refs/gull-watch.mid: " in shown
    assert "Levenshtein 1966" in shown
    assert "no legal opinion" in shown
    take = read_take(Path(f"out/{NAME}/take-001"))
    assert take.header.references == search.plan.avoid.sources
    assert [entry.source for entry in take.arrangements[1].nearest] == list(search.sources)
    page = (take.folder / "index.html").read_text(encoding="utf-8")
    assert "Nearest passages" in page
    assert "refs/mist-lanterns.mid, refs/gull-watch.mid" in page


def test_no_path_of_this_machine_is_recorded(search: Search, tmp_path: Path) -> None:
    assert run(["arrange", brief(), "--avoid", str(tmp_path / "refs" / "gull-watch.mid")]) == 0
    assert search.sources == ("gull-watch.mid",)


def test_the_same_facts_as_json(search: Search, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["arrange", brief(), "--json", "--avoid", "refs/gull-watch.mid"]) == 0
    first = json.loads(capsys.readouterr().out)["arrangements"][0]
    (entry,) = first["nearest"]
    assert set(entry) == {"source", "part", "bars", "source_part", "source_bars", "similarity", "shared"}
    assert entry["source"] == "refs/gull-watch.mid"


def test_without_references_nothing_is_said(search: Search, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["arrange", brief()]) == 0
    assert "nearest" not in capsys.readouterr().out
    record = json.loads(Path(f"out/{NAME}/take-001/take.json").read_text(encoding="utf-8"))
    assert not {"references", "avoided_takes"} & set(record)
    assert "Nearest passages" not in Path(f"out/{NAME}/take-001/index.html").read_text(encoding="utf-8")


def test_earlier_takes(search: Search) -> None:
    path = brief("avoid_takes = true")
    assert run(["arrange", path]) == 0
    assert search.sources == ()
    assert run(["arrange", path]) == 0
    assert search.sources == ("take-001",)
    assert read_take(Path(f"out/{NAME}/take-002")).header.avoided_takes == ("take-001",)
    assert read_take(Path(f"out/{NAME}/take-002")).header.references == ()


def test_a_file_that_cannot_be_read_ends_the_command(search: Search, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["arrange", brief(), "--avoid", "gone.mid"]) == 2
    assert capsys.readouterr().err == (
        "gone.mid: there is no such file; give a MIDI file (.mid) or a score (.musicxml, .mxl)\n"
    )
    assert not list(Path("out").glob("*/take-*"))


def test_an_earlier_take_that_cannot_be_read_ends_the_command(
    search: Search, capsys: pytest.CaptureFixture[str]
) -> None:
    path = brief("avoid_takes = true")
    assert run(["arrange", path]) == 0
    record = Path(f"out/{NAME}/take-001/take.json")
    facts = json.loads(record.read_text(encoding="utf-8"))
    record.write_text(json.dumps({**facts, "brief": "bars = 3000"}), encoding="utf-8")
    capsys.readouterr()
    assert run(["arrange", path]) == 2
    error = capsys.readouterr().err
    assert error.startswith(f"out/{NAME}/take-001: holds a brief that cannot be read any more (")
    assert error.count("\n") == 1
    record.write_text("{", encoding="utf-8")
    assert run(["arrange", path]) == 2


def test_after_a_crash_the_take_needs_no_reference(
    search: Search, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was recorded is enough: the file is gone when the next command completes the take."""

    def crash(*_: object) -> None:
        raise KeyboardInterrupt

    path = brief('avoid = ["refs/mist-lanterns.mid"]')
    with monkeypatch.context() as patched:
        patched.setattr("solver.study.nearest.with_nearest", crash)
        assert run(["arrange", path]) == 130
    (tmp_path / "refs" / "mist-lanterns.mid").unlink()
    (made,) = complete_unfinished(tmp_path / "out" / NAME)
    assert [entry.source for entry in read_take(made).arrangements[0].nearest] == ["refs/mist-lanterns.mid"]
    (reference,) = read_take(made).header.references
    assert isinstance(reference, Avoided)
    assert reference.name == "refs/mist-lanterns.mid"


def test_a_rework_keeps_clear_of_what_its_take_did_without_the_file(search: Search) -> None:
    path = brief('avoid = ["refs/mist-lanterns.mid"]', "avoid_takes = true")
    assert run(["arrange", path]) == 0
    Path("refs/mist-lanterns.mid").unlink()
    assert run(["rework", f"out/{NAME}/take-001", "--avoid", "refs/gull-watch.mid"]) == 0
    assert search.sources == ("refs/mist-lanterns.mid", "refs/gull-watch.mid")
    header = read_take(Path(f"out/{NAME}/take-002")).header
    assert [source.name for source in header.references] == list(search.sources)


def test_a_rework_keeps_clear_of_the_takes_that_its_take_did(
    search: Search, capsys: pytest.CaptureFixture[str]
) -> None:
    path = brief("avoid_takes = true")
    assert [run(["arrange", path]) for _ in range(2)] == [0, 0]
    assert run(["rework", f"out/{NAME}/take-002"]) == 0
    assert search.sources == ("take-001",)
    assert read_take(Path(f"out/{NAME}/take-003")).header.avoided_takes == ("take-001",)
    shutil.rmtree(f"out/{NAME}/take-001")
    capsys.readouterr()
    assert run(["rework", f"out/{NAME}/take-003"]) == 0
    assert search.sources == ()
    assert f"out/{NAME}/take-001 is not there any more" in capsys.readouterr().out


def test_a_rework_does_not_change_the_references(search: Search, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["arrange", brief()]) == 0
    assert run(["rework", f"out/{NAME}/take-001", "--change", 'avoid = ["refs/gull-watch.mid"]']) == 2
    assert "name more with --avoid" in capsys.readouterr().err
