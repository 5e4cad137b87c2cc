"""A part that a brief takes from a MIDI file: what is held, and what is said of the keys and of the file."""

from __future__ import annotations

from pathlib import Path

import pytest
from mido import Message, MidiFile

from solver.brief.errors import BriefErrors
from solver.brief.plan import Plan
from solver.brief.planning import plan_from, plan_from_text
from solver.brief.reader import read_brief
from tests.brief.lines import TICKS, line_track, write_line

HEAD = 'key = "A minor"\nbars = 4\nchords = ["Am", "F"]\ngrid = 8\n'


def brief(folder: Path, *lines: str) -> Path:
    """A brief whose lead has these lines."""
    path = folder / "quay.toml"
    path.write_text("\n".join([HEAD, "[parts.lead]", *lines, "[parts.low]", ""]), encoding="utf-8")
    return path


def plan(folder: Path, *lines: str) -> Plan:
    """The plan of such a brief."""
    return plan_from(read_brief(brief(folder, *lines)))


def refusal(folder: Path, *lines: str) -> str:
    """What is wrong with such a brief, in one line."""
    with pytest.raises(BriefErrors) as caught:
        plan(folder, *lines)
    (error,) = caught.value.errors
    return str(error)


def test_the_whole_part_is_held_as_the_file_has_it(tmp_path: Path) -> None:
    write_line(tmp_path / "my-lead.mid")
    made = plan(tmp_path, 'from = "my-lead.mid"')
    (held,) = made.held
    assert (held.part, held.start, held.end, held.aspect) == ("lead", 0, 32, "notes")
    assert held.words == 'quay.toml:7: from = "my-lead.mid"'
    assert [(note.onset, note.pitch) for note in held.notes[:5]] == [(0, 69), (3, 72), (5, 76), (6, 74), (8, 69)]
    assert made.notices == ()


def test_some_bars_are_taken_to_the_start_and_moved(tmp_path: Path) -> None:
    write_line(tmp_path / "my-lead.mid")
    (held,) = plan(tmp_path, 'from = "my-lead.mid"', "bars = [2, 3]", "transpose = -12").held
    assert (held.start, held.end, len(held.notes)) == (0, 16, 8)
    assert [(note.onset, note.pitch) for note in held.notes[:2]] == [(0, 57), (3, 60)]


def test_bars_beyond_the_end_of_the_file_are_told(tmp_path: Path) -> None:
    write_line(tmp_path / "my-lead.mid")
    made = plan(tmp_path, 'from = "my-lead.mid"', "bars = [3, 6]")
    assert made.notices == ("my-lead.mid: the file plays up to bar 4; bars taken beyond it are silent",)
    assert plan(tmp_path, 'from = "my-lead.mid"', "bars = [3, 4]").notices == ()


def test_the_track_is_chosen_by_number_or_name(tmp_path: Path) -> None:
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    file.tracks += [line_track("Bass", 1), line_track("Lead", 2)]
    file.save(str(tmp_path / "two.mid"))
    count = {
        lines: len(plan(tmp_path, 'from = "two.mid"', *lines).held[0].notes)
        for lines in ((), ("track = 1",), ('track = "bass"',), ("track = 2",))
    }
    assert count == {(): 8, ("track = 1",): 4, ('track = "bass"',): 4, ("track = 2",): 8}
    assert 'has no track 3 with notes; its tracks are 1 "Bass", 2 "Lead"' in refusal(
        tmp_path, 'from = "two.mid"', "track = 3"
    )


def test_a_file_of_format_0_has_a_track_for_each_channel(tmp_path: Path) -> None:
    file = MidiFile(type=0, ticks_per_beat=TICKS)
    track = line_track("All", 1)
    track += line_track("", 1, channel=1)
    file.tracks.append(track)
    file.save(str(tmp_path / "one.mid"))
    counts = [len(plan(tmp_path, 'from = "one.mid"', f"track = {number}").held[0].notes) for number in (1, 2)]
    assert counts == [4, 4]


def test_notes_out_of_range_and_off_the_grid_are_told_by_bar_and_beat(tmp_path: Path) -> None:
    write_line(tmp_path / "my-lead.mid")
    said = plan(tmp_path, 'from = "my-lead.mid"', 'range = "A4..D5"').notices
    assert said[-1].startswith("my-lead.mid: 4 notes outside lead's range A4..D5: E5 (bar 1, beat 3.5; bar 2, beat 3.5")
    late = MidiFile(type=1, ticks_per_beat=TICKS)
    late.tracks.append(line_track("", 4))
    next(message for message in late.tracks[0] if message.type == "note_on").time = 20
    late.save(str(tmp_path / "my-lead.mid"))
    (first, *_) = plan(tmp_path, 'from = "my-lead.mid"').notices
    assert "moved by more than a quarter of a slot (bar 1, beat 1" in first


def test_notes_that_sound_together_in_a_line_are_told(tmp_path: Path) -> None:
    file = MidiFile(type=1, ticks_per_beat=TICKS)
    track = line_track("", 4)
    for message in track:
        if message.type == "note_on":
            message.time = max(0, message.time - TICKS)
    file.tracks.append(track)
    file.tracks.append(line_track("", 0))
    track.insert(0, Message("note_on", note=57, velocity=80, time=0))
    file.save(str(tmp_path / "my-lead.mid"))
    said = plan(tmp_path, 'from = "my-lead.mid"').notices
    assert any("over the one before, in a part of single notes (bar 1, beat 1" in line for line in said)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (("transpose = 2",), "quay.toml:7:13: transpose says how to read a file, and none is named; add from"),
        (('from = "gone.mid"',), "gone.mid: cannot be read"),
        (('from = "my-lead.mid"', "bars = [1, 5]"), "quay.toml:8:8: 5 bars of the file do not fit the loop of 4"),
        (('from = "my-lead.mid"', "bars = [9, 9]"), "no note of that track starts in bar 9; give bars"),
        (('from = "my-lead.mid"', "transpose = 49"), "transpose is 49; write a whole number of semitones"),
        (('from = "my-lead.mid"', "track = 0"), "track"),
        (('from = "quay.toml"',), "is not a MIDI file"),
    ],
)
def test_what_is_wrong_is_one_line(tmp_path: Path, lines: tuple[str, ...], words: str) -> None:
    write_line(tmp_path / "my-lead.mid")
    said = refusal(tmp_path, *lines)
    assert words in said
    assert "\n" not in said


def test_a_missing_file_is_told_with_whatever_else_is_wrong(tmp_path: Path) -> None:
    with pytest.raises(BriefErrors) as caught:
        plan(tmp_path, 'from = "no-such.mid"', "notes_per_bar = 99")
    assert [error.line for error in caught.value.errors] == [7, 8]
    assert "no-such.mid: cannot be read" in str(caught.value.errors[0])


def test_a_text_alone_has_the_lines_that_a_take_recorded(tmp_path: Path) -> None:
    write_line(tmp_path / "my-lead.mid")
    path = brief(tmp_path, 'from = "my-lead.mid"')
    held = plan_from(read_brief(path)).held
    (tmp_path / "my-lead.mid").unlink()
    assert plan_from_text(path.read_text(encoding="utf-8"), "quay", lines=held).held == held
    shorter = plan_from_text(path.read_text(encoding="utf-8").replace("bars = 4", "bars = 2"), "quay", lines=held)
    assert (shorter.held[0].end, len(shorter.held[0].notes)) == (16, 8)
