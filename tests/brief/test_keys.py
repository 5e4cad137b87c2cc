"""README's table of keys is made from the schema."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from solver.brief.feel_table import FeelTable
from solver.brief.keys import table_of_keys
from solver.brief.part_table import Part
from solver.brief.schema import Brief, keys_of
from tests.brief.lines import write_line
from tests.brief.texts import GOOD, errors_of, with_part, with_top
from tests.study.writing import midi_of, read_loop

README = Path(__file__).parents[2] / "README.md"
START, END = "<!-- keys -->", "<!-- /keys -->"


def test_every_key_has_a_row_with_four_cells() -> None:
    header, rule, *rows = table_of_keys().splitlines()
    assert header == "| key | meaning | default | example |"
    assert rule == "| --- | --- | --- | --- |"
    assert [row.split(" | ")[0] for row in rows] == [
        *(f"| `{name}`" for name in keys_of(Brief)),
        *(f"| `feel.{name}`" for name in keys_of(FeelTable)),
        *(f"| `parts.NAME.{name}`" for name in keys_of(Part)),
    ]
    for row in rows:
        cells = row.removeprefix("| ").removesuffix(" |").split(" | ")
        assert len(cells) == 4
        assert all(cell.strip("` ") for cell in cells)


@pytest.mark.parametrize(
    "name", [name for name in Brief.model_fields if name not in ("parts", "key", "bars", "chords", "title")]
)
def test_the_example_of_a_key_works(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "refs").mkdir()
    midi_of(read_loop("mist-lanterns")).save(str(tmp_path / "refs" / "harbour.mid"))
    (example,) = Brief.model_fields[name].examples or []
    assert name in tomllib.loads(f"{name} = {example}")
    meter = 'meter = "3/4"\n' if name == "grid" else ""
    assert errors_of(meter + with_top(f"{name} = {example}")) == ()


@pytest.mark.parametrize("name", FeelTable.model_fields)
def test_the_example_of_a_key_of_feel_works(name: str) -> None:
    (example,) = FeelTable.model_fields[name].examples or []
    assert errors_of(f"{GOOD}\n[feel]\n{name} = {example}\n") == ()


@pytest.mark.parametrize("name", keys_of(Part))
def test_the_example_of_a_part_s_key_works(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (example,) = keys_of(Part)[name].examples or []
    needed = [] if name == "role" else ['role = "lead"']
    if name in ("from", "track", "bars", "transpose"):
        write_line(tmp_path / "my-lead.mid", "Lead", bars=8)
        needed += [] if name == "from" else ['from = "my-lead.mid"']
    assert errors_of(with_part(*needed, f"{name} = {example}")) == ()


def test_the_readme_holds_the_table() -> None:
    text = README.read_text(encoding="utf-8")
    if START not in text:
        pytest.skip("the README has no table of keys yet")
    assert text.split(START)[1].split(END)[0].strip() == table_of_keys()
