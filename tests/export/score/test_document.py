"""The document: its head, its staves, and that equal input gives equal bytes."""

from __future__ import annotations

import subprocess
import sys
from xml.etree.ElementTree import Element, fromstring

import pytest

from solver.arrangement import Arrangement, Note
from solver.export.score import score_xml
from solver.export.score.document import abbreviation
from solver.export.score.staves import playing_words
from tests.export.sample_arrangements import sample_arrangement
from tests.export.score.scores import PLANS, plan_of


def score(name: str) -> Element:
    plan = plan_of(name)
    return fromstring(score_xml(plan, sample_arrangement(plan)))


def test_equal_input_gives_equal_bytes_in_another_process() -> None:
    code = (
        "import sys, hashlib\n"
        "from solver.export.score import score_xml\n"
        "from tests.export.sample_arrangements import sample_arrangement\n"
        "from tests.export.score.scores import plan_of\n"
        "plan = plan_of('harbour-waltz')\n"
        "sys.stdout.buffer.write(score_xml(plan, sample_arrangement(plan)))\n"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout
    plan = plan_of("harbour-waltz")
    assert run == score_xml(plan, sample_arrangement(plan))


def test_nothing_in_it_depends_on_the_day() -> None:
    assert score("ferry-lights").find(".//encoding-date") is None


def test_parts_stand_from_high_to_low_with_names_and_programs() -> None:
    root = score("ferry-lights")
    entries = root.findall("part-list/score-part")
    assert [entry.findtext("part-name") for entry in entries] == ["lead", "middle", "low"]
    assert [entry.findtext("score-instrument/instrument-name") for entry in entries] == [
        "electric guitar",
        "muted electric guitar",
        "electric guitar",
    ]
    assert [entry.findtext("midi-instrument/midi-program") for entry in entries] == ["28", "29", "28"]
    assert [entry.findtext("midi-instrument/midi-channel") for entry in entries] == ["1", "3", "2"]


@pytest.mark.parametrize("name", PLANS)
def test_every_bar_of_every_part_is_there_and_full(name: str) -> None:
    plan = plan_of(name)
    for part in score(name).findall("part"):
        measures = part.findall("measure")
        assert [measure.get("number") for measure in measures] == [str(bar + 1) for bar in range(plan.bars)]
        for measure in measures:
            for staff in ("1", "2"):
                lengths = [
                    int(note.findtext("duration", "0"))
                    for note in measure.findall("note")
                    if note.findtext("staff") == staff and note.find("chord") is None
                ]
                assert sum(lengths) == plan.metre.grid


def test_the_strings_are_told_without_the_capo() -> None:
    low, lead = score("capo").findall("part")[::-1]
    details = lead.find(".//staff-details")
    assert details is not None
    assert details.findtext("staff-lines") == "6"
    tuning = [
        (string.get("line"), string.findtext("tuning-step"), string.findtext("tuning-octave"))
        for string in details.findall("staff-tuning")
    ]
    assert tuning == [
        ("1", "E", "2"),
        ("2", "A", "2"),
        ("3", "D", "3"),
        ("4", "G", "3"),
        ("5", "B", "3"),
        ("6", "E", "4"),
    ]
    assert details.findtext("capo") == "3"
    assert low.findtext(".//staff-lines") == "7"
    assert low.find(".//capo") is None


def test_words_say_how_the_part_is_played() -> None:
    plan = plan_of("capo")
    assert playing_words(plan.part("lead")) == "electric guitar, capo 3"
    assert playing_words(plan.part("low")) == "seven-string guitar, tuned A1 D2 G2 C3 F3 A3 D4"
    assert playing_words(plan_of("slack-water").part("lead")) == "acoustic guitar, let ring"


def test_words_stand_above_but_where_the_chord_symbols_do() -> None:
    for number, part in enumerate(score("capo").findall("part")):
        first = part.find("measure[@number='1']")
        assert first is not None
        directions = [entry for entry in first.iter("direction") if entry.find("direction-type/words") is not None]
        assert [entry.get("placement") for entry in directions] == ["above" if number else "below"]
        assert {symbol.get("placement") for symbol in first.iter("harmony")} == (set() if number else {"above"})


def test_a_bass_has_the_bass_clef_and_guitars_the_treble_clef() -> None:
    signs = [part.findtext(".//clef/sign") for part in score("harbour-waltz").findall("part")]
    assert signs == ["G", "G", "F"]


def test_a_silent_part_has_rests_and_text_is_escaped() -> None:
    plan = plan_of("triplets")
    root = fromstring(score_xml(plan, Arrangement((Note("low", 0, 3, 40),))))
    assert root.findtext("work/work-title") == 'Tide <table> & "clock"'
    lead = root.findall("part")[0]
    assert all(note.find("rest") is not None for note in lead.iter("note"))
    assert all(note.find("rest").get("measure") == "yes" for note in lead.iter("note"))  # type: ignore[union-attr]


def test_a_note_that_no_string_has_is_on_the_notation_alone() -> None:
    plan = plan_of("ferry-lights")
    root = fromstring(score_xml(plan, Arrangement((Note("low", 0, 4, 30), Note("low", 4, 4, 42)))))
    notes = [note for note in root.findall("part")[-1].iter("note") if note.find("pitch") is not None]
    assert [note.findtext("staff") for note in notes] == ["1", "1", "2"]


@pytest.mark.parametrize(
    ("name", "short"),
    [
        ("lead", "lead"),
        ("middle", "middle"),
        ("second-voice", "second-voice"),
        ("accompaniment", "a."),
        ("left hand of it", "l. h. o. i."),
        ("muted counter_line", "muted counter_line"),
        ("my counter lines", "my counter lines"),
        ("-------------", "-------------"),
    ],
)
def test_names_stand_in_full_and_long_ones_as_initials_where_those_tell_them_apart(name: str, short: str) -> None:
    names = ["lead", "accompaniment", "muted counter_line", "my counter lines"]
    assert abbreviation(name, names) == short
