"""The files of a take: its MIDI is on the grid unless the brief says how it is to be played."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.brief.planning import plan_from_text
from solver.export.midi import midi_bytes
from solver.takes.files import write_files
from solver.takes.previews import Previews
from solver.takes.record import TakeHeader
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import ONE_ROPE


@pytest.mark.parametrize(("feel", "on_grid"), [("", True), ('feel = "none"\n', True), ("feel.swing = 2\n", False)])
def test_the_midi_file_swings_only_where_the_brief_asks_for_it(tmp_path: Path, feel: str, on_grid: bool) -> None:
    text = feel + ONE_ROPE
    plan = plan_from_text(text, "one-rope")
    found = sample_ranked(plan, 1)
    write_files(tmp_path, plan, TakeHeader("one-rope", text, 0), found, Previews(tmp_path, plan))
    grid = midi_bytes(plan, found[0].arrangement)
    assert ((tmp_path / "1.mid").read_bytes() == grid) == on_grid
