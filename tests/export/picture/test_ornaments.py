"""Ornaments in the picture, in words and in the check's output."""

from __future__ import annotations

from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest

from solver.cli import run
from solver.export.midi import midi_bytes
from solver.export.picture import describe, picture_svg
from tests.rules.small import heard, plan_of

BRIEF = """
key = "C major"
bars = 1
chords = ["C"]
ornaments = "{ornaments}"
[parts.lead]
range = "A3..E5"
"""
PLAN = plan_of('ornaments = "many"', lead='range = "A3..E5"')
LINE = "C4:run G4 - E4:mordent"


def test_each_ornament_is_drawn_and_explained() -> None:
    arrangement = heard(PLAN, lead=LINE).arrangement
    svg = fromstring(picture_svg(PLAN, arrangement))
    drawn = [item for item in svg.iter() if "ornament" in item.get("class", "").split()]
    assert len(drawn) == 2 + 1  # and one in the legend
    assert "lead, run at bar 1, beat 1; lead, mordent at bar 1, beat 4" in describe(PLAN, arrangement)


def test_without_any_nothing_speaks_of_them() -> None:
    plan = plan_of(lead="")
    svg = picture_svg(plan, heard(plan, lead="C4 G4 - E4").arrangement)
    assert 'class="ornament' not in svg
    assert "an ornament" not in svg


def test_the_check_shows_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief, file = tmp_path / "quay.toml", tmp_path / "line.mid"
    brief.write_text(BRIEF.format(ornaments="many"), encoding="utf-8")
    file.write_bytes(midi_bytes(PLAN, heard(PLAN, lead=LINE).arrangement))
    run(["check", str(brief), str(file)])
    assert "lead, bar 1, beat 4: a mordent" in capsys.readouterr().out
    run(["check", str(brief), str(file), "--json"])
    assert '"ornament": "run"' in capsys.readouterr().out
