"""References and earlier takes as what is kept clear of."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from solver.arrangement import Arrangement
from solver.brief.errors import BriefErrors
from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from solver.study.errors import StudyError
from solver.study.references import avoided_file, avoided_take
from solver.take import Take, TakeHeader
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan
from tests.study.damage import xml_bytes
from tests.study.writing import midi_of, read_loop

BRIEF = 'key = "C major"\nbars = 4\nchords = ["C"]\n{}\n[parts.lead]\n'


def written(path: Path, name: str = "mist-lanterns") -> Path:
    path.parent.mkdir(exist_ok=True)
    midi_of(read_loop(name)).save(str(path))
    return path


def test_the_parts_of_a_file_and_where_they_begin(tmp_path: Path) -> None:
    loop = read_loop("mist-lanterns")
    found = avoided_file(written(tmp_path / "x.mid"), "refs/x.mid")
    assert (found.name, found.bar) == ("refs/x.mid", Fraction(4 * loop.metre[0], loop.metre[1]))
    assert {line.part for line in found.lines} == set(loop.parts)
    for line in found.lines:
        onsets = sorted({onset for onset, _, _ in loop.parts[line.part]})
        assert line.first == onsets[0] * found.bar / loop.grid
        assert len(line.moves) == len(onsets)
        assert sum(move.interval for move in line.moves) == 0
        assert sum(move.quarters for move in line.moves) == found.bar * loop.brief["bars"]


def test_a_file_that_is_none_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "x.mid").write_bytes(b"MThd")
    with pytest.raises(StudyError, match=r"^[^\n]+x\.mid: [^\n]+; [^\n]+$"):
        avoided_file(tmp_path / "x.mid", "x.mid")


def test_a_brief_s_references_are_looked_for_from_its_folder(tmp_path: Path) -> None:
    written(tmp_path / "refs" / "quay.mid")
    brief = tmp_path / "pier.toml"
    brief.write_text(BRIEF.format('avoid = ["refs/quay.mid"]\nlongest_shared = 7'), encoding="utf-8")
    plan = plan_from(read_brief(brief))
    assert [source.name for source in plan.avoid.sources] == ["refs/quay.mid"]
    assert plan.avoid.longest_shared == 7
    assert plan_from_text(brief.read_text(encoding="utf-8"), "pier").avoid.sources == ()
    recorded = plan_from_text(brief.read_text(encoding="utf-8"), "pier", plan.avoid.sources)
    assert recorded.avoid == plan.avoid


def test_every_reference_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    written(tmp_path / "refs" / "quay.mid")
    (tmp_path / "noise.wav").write_bytes(b"RIFF1234WAVE")
    brief = tmp_path / "pier.toml"
    brief.write_text(BRIEF.format('avoid = ["gone.mid", "refs/quay.mid", "noise.wav"]'), encoding="utf-8")
    with pytest.raises(BriefErrors) as raised:
        read_brief(brief)
    lines = str(raised.value).splitlines()
    assert [line.split(":")[1:4] for line in lines] == [["4", "10", " gone.mid"], ["4", "39", " noise.wav"]]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("avoid = [3]", "avoid entry 1 is 3"),
        ('avoid = [" "]', "the file's name is blank"),
        ('avoid = "x.mid"', 'avoid is the text "x.mid"; write a list'),
        ("longest_shared = 1", "longest_shared is 1; write a whole number of intervals from 2 to 32"),
        ('avoid_takes = "yes"', 'avoid_takes is the text "yes"; write true or false'),
    ],
)
def test_wrong_values_are_told(line: str, said: str, tmp_path: Path) -> None:
    brief = tmp_path / "pier.toml"
    brief.write_text(BRIEF.format(line), encoding="utf-8")
    with pytest.raises(BriefErrors) as raised:
        read_brief(brief)
    assert said in str(raised.value)


def test_an_earlier_take_is_one_source() -> None:
    plan = sample_plan("one-rope")
    ranked = sample_ranked(plan, 2)
    header = TakeHeader("one-rope", TEXTS["one-rope"], 0)
    found = avoided_take(Take(Path("out/one-rope/take-007"), header, "", tuple(ranked)), plan)
    assert found.name == "take-007"
    assert found.lines[0].part == f"{plan.parts[0].name} of arrangement 1"
    twice = Take(Path("take-007"), header, "", (ranked[0], ranked[0]))
    assert len(avoided_take(twice, plan).lines) == len(plan.parts)
    silent = Take(Path("take-007"), header, "", (type(ranked[0])(Arrangement(()), 0, 0, True, ()),))
    assert avoided_take(silent, plan).lines == ()


def test_a_score_is_read_like_a_file_of_midi(tmp_path: Path) -> None:
    path = tmp_path / "x.musicxml"
    path.write_bytes(xml_bytes("mist-lanterns"))
    score = avoided_file(path, "x")
    midi = avoided_file(written(tmp_path / "x.mid"), "x")
    assert {(line.first, line.moves) for line in score.lines} == {(line.first, line.moves) for line in midi.lines}
