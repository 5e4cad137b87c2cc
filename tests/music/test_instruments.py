"""Instruments: the shipped table, tunings and capos, and what a faulty table is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.music.faults import Fault, TableFault
from solver.music.instruments import Instrument, find_instrument, load_instruments, tuned
from solver.music.pitch import note_name

INSTRUMENTS = load_instruments()
ROW = """
["harbour guitar"]
tuning = ["E2", "A2", "D3", "G3", "B3", "E4"]
frets = 22
hand_span = 5
chord_span = 4
program = 27
sound = "electric"
"""


def table(folder: Path, text: str | bytes) -> Path:
    """A workspace whose table of instruments holds that text."""
    path = folder / "shared" / "instruments.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def test_the_instruments_of_the_design_are_there() -> None:
    assert set(INSTRUMENTS) >= {
        "electric guitar",
        "muted electric guitar",
        "acoustic guitar",
        "nylon guitar",
        "baritone guitar",
        "seven-string guitar",
        "bass guitar",
    }


@pytest.mark.parametrize("instrument", INSTRUMENTS.values(), ids=lambda instrument: instrument.name)
def test_each_shipped_row_makes_sense(instrument: Instrument) -> None:
    assert instrument.low == min(instrument.tuning)
    assert instrument.high == instrument.tuning[-1] + instrument.frets
    assert 3 <= instrument.chord_span <= instrument.hand_span <= 5
    assert instrument.ring is None or instrument.name.startswith("muted")
    assert tuned(instrument, "standard") == instrument == tuned(instrument)
    dropped = [name for name, _ in instrument.tunings if name.startswith("drop ")]
    assert len(dropped) == 1
    lowered = tuned(instrument, dropped[0])
    assert lowered.low == instrument.low - 2
    assert lowered.tuning[1:] == instrument.tuning[1:]
    assert note_name(lowered.low)[:-1] == dropped[0].removeprefix("drop ")


def test_the_muted_guitar_stops_within_a_quarter() -> None:
    assert INSTRUMENTS["muted electric guitar"].ring == 1.0
    assert INSTRUMENTS["electric guitar"].ring is None


def test_a_name_of_a_tuning_may_be_written_loosely() -> None:
    assert tuned(INSTRUMENTS["acoustic guitar"], " Drop  d ").tuning == (38, 45, 50, 55, 59, 64)


def test_a_tuning_may_be_a_list_of_notes() -> None:
    retuned = tuned(INSTRUMENTS["acoustic guitar"], ["D2", "A2", "D3", "F#3", "A3", "D4"])
    assert retuned.tuning == (38, 45, 50, 54, 57, 62)
    assert tuned(INSTRUMENTS["bass guitar"], ["B0", "E1", "A1", "D2", "G2"]).low == 23


@given(st.sampled_from(sorted(INSTRUMENTS)), st.integers(0, 12))
def test_a_capo_raises_every_string_and_shortens_the_neck(name: str, capo: int) -> None:
    plain = INSTRUMENTS[name]
    higher = tuned(plain, capo=capo)
    assert higher.tuning == tuple(pitch + capo for pitch in plain.tuning)
    assert higher.high == plain.high
    assert higher.frets == plain.frets - capo
    assert higher.capo == capo
    assert tuned(higher) == plain


@pytest.mark.parametrize(
    ("tuning", "capo", "hint"),
    [
        ("drop D", 0, 'use "standard", "drop A", or list'),
        ("open sesame", 0, 'use "standard"'),
        (["E2", "A2"], 0, "list 3 to 12 note names"),
        (["E2", "A2", "X3"], 0, "a letter A to G"),
        (["E4", "A2", "D3"], 0, "from low to high"),
        (["E2", "A2", "D9"], 0, "G7 at most"),
        (None, -1, "use 0 to 19"),
        (None, 20, "use 0 to 19"),
    ],
)
def test_a_tuning_that_cannot_be_says_what_would_be_right(tuning: str | list[str] | None, capo: int, hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        tuned(INSTRUMENTS["seven-string guitar"], tuning, capo)


def test_an_instrument_that_is_not_there_is_told_the_nearest() -> None:
    assert find_instrument("bass guitar", INSTRUMENTS).program == 33
    with pytest.raises(Fault, match='did you mean "acoustic guitar"'):
        find_instrument("acustic guitar", INSTRUMENTS)
    with pytest.raises(Fault, match="use one of electric guitar, muted"):
        find_instrument("kazoo", INSTRUMENTS)


def test_the_table_of_a_workspace_is_read_instead_of_the_shipped_one(tmp_path: Path) -> None:
    found = load_instruments(table(tmp_path, ROW + 'tunings."low tide" = ["C2", "G2", "D3", "G3", "B3", "E4"]\n'))
    assert list(found) == ["harbour guitar"]
    assert tuned(found["harbour guitar"], "low tide").low == 36


@pytest.mark.parametrize(
    ("old", "new", "key", "hint"),
    [
        ("frets = 22", "", "harbour guitar.frets", "add it"),
        ("frets = 22", "fret = 22", "harbour guitar.frets", "add it"),
        ("frets = 22", "frets = 22\nfrett = 1", "harbour guitar.frett", 'did you mean "frets"'),
        ("frets = 22", "frets = 22\nzz = 1", "harbour guitar.zz", "known keys: tuning, frets"),
        ("frets = 22", 'frets = "many"', "harbour guitar.frets", "it should be a valid integer"),
        ("frets = 22", "frets = 2", "harbour guitar.frets", "greater than or equal to 10"),
        ("program = 27", "program = 128", "harbour guitar.program", "less than or equal to 127"),
        ('"electric"', '"banjo"', "harbour guitar.sound", "'electric', 'muted'"),
        ('"electric"', '"electric"\nring = nan', "harbour guitar.ring", "finite"),
        ('"E2"', '"e2"', "harbour guitar.tuning", "a letter A to G"),
        ('"E2"', '"E9"', "harbour guitar.tuning", "from low to high"),
        ('"E2"', "40", "harbour guitar.tuning", 'like ["E2", "A2"'),
        ('"E4"', '"E8"', "harbour guitar.tuning", "A7 at most"),
        ('"electric"', '"electric"\ntunings.standard = ["E2", "A2", "D3"]', "harbour guitar.tunings.standard", "name"),
        ('"electric"', '"electric"\ntunings.odd = ["E2", "A2"]', "harbour guitar.tunings.odd", "list 3 to 12"),
    ],
)
def test_a_faulty_row_is_named_with_file_and_key(tmp_path: Path, old: str, new: str, key: str, hint: str) -> None:
    workspace = table(tmp_path, ROW.replace(old, new))
    with pytest.raises(TableFault) as caught:
        load_instruments(workspace)
    assert caught.value.key == key
    assert caught.value.file == tmp_path / "shared" / "instruments.toml"
    assert hint in caught.value.right
    assert str(caught.value) == f"{caught.value.file}: {key}: {caught.value.wrong}; {caught.value.right}"
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("", "add a row"),
        ("tuning = 3", 'write ["tuning"]'),
        ('["harbour guitar"', "correct that line"),
        (b"\xff\xfe\x00", "UTF-8"),
    ],
)
def test_a_table_that_is_none_is_told_so(tmp_path: Path, text: str | bytes, hint: str) -> None:
    with pytest.raises(ValueError, match=r"instruments\.toml") as caught:
        load_instruments(table(tmp_path, text))
    assert hint in str(caught.value)


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_file_is_a_table_or_one_clear_line(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    workspace = table(tmp_path_factory.mktemp("workspace", numbered=True), content)
    with pytest.raises(TableFault) as caught:  # no such text is a whole instrument
        load_instruments(workspace)
    assert str(caught.value).isprintable()
