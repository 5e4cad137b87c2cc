"""The table of low interval limits."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.faults import TableFault
from solver.music.low_limits import load_low_limits, shortfall

LIMITS = load_low_limits()


@given(st.integers(20, 100), st.integers(0, 40))
def test_an_interval_falls_short_by_what_it_must_rise_to_keep_the_limit(lower: int, size: int) -> None:
    missing = shortfall(lower, lower + size, LIMITS)
    assert missing == shortfall(lower + size, lower, LIMITS)
    assert shortfall(lower + missing, lower + size + missing, LIMITS) == 0
    if missing:
        assert shortfall(lower + missing - 1, lower + size + missing - 1, LIMITS) == 1


@pytest.mark.parametrize(
    ("text", "key", "hint"),
    [
        ('[fifth]\nlowest = "Bb1"', "fifth.semitones", "add it"),
        ('[fifth]\nsemitones = 0\nlowest = "Bb1"', "fifth.semitones", "greater than or equal to 1"),
        ('[fifth]\nsemitones = 7\nlowest = "bb1"', "fifth.lowest", "A to G"),
        ("[fifth]\nsemitones = 7\nlowest = 34", "fifth.lowest", "a valid string"),
        (
            '[fifth]\nsemitones = 7\nlowest = "Bb1"\n[twelfth]\nsemitones = 7\nlowest = "C2"',
            "twelfth.semitones",
            "one of",
        ),
        ("fifth = 7", "fifth", 'write ["fifth"]'),
        ("[fifth]\nsemitone = 7", "fifth.semitones", "add it"),
    ],
)
def test_a_faulty_row_is_named_with_file_and_key(tmp_path: Path, text: str, key: str, hint: str) -> None:
    (tmp_path / "shared").mkdir()
    (tmp_path / "shared" / "low_limits.toml").write_text(text, encoding="utf-8")
    with pytest.raises(TableFault) as caught:
        load_low_limits(tmp_path)
    assert caught.value.key == key
    assert hint in caught.value.right


def test_a_table_without_rows_sets_no_limits(tmp_path: Path) -> None:
    (tmp_path / "shared").mkdir()
    (tmp_path / "shared" / "low_limits.toml").write_text("", encoding="utf-8")
    assert load_low_limits(tmp_path) == {}
