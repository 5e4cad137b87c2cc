"""What a study says: sentences, facts as data, the page, and the parts together."""

from __future__ import annotations

import base64
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from solver.music.metre import Metre
from solver.study.as_plan import arrangement_of, plan_of
from solver.study.brief_text import brief_text
from solver.study.facts import facts_of
from solver.study.names import distinct, plain_name
from solver.study.page import page_html
from solver.study.part_sentences import listed, part_sentences
from solver.study.seam import leads_back, seam_sentences
from solver.study.sentences import paragraphs
from solver.study.study import Study, study_of
from solver.study.together import together
from tests.study.loops_in_text import Events, chord_bars, loop, repeated
from tests.study.studies import loop_study, study_midi
from tests.study.writing import NAMES, midi_of, read_loop

LEAD: Events = [(0, 3, 76), (3, 3, 81), (6, 2, 79), (8, 4, 76), (12, 4, 72)]


def told(studied: Study) -> str:
    return "\n".join(sentence for paragraph in paragraphs(studied) for sentence in paragraph.sentences)


@pytest.mark.parametrize("name", NAMES)
def test_sentences_are_whole(name: str) -> None:
    found = paragraphs(loop_study(name))
    assert found[0].heading == "The piece"
    for paragraph in found:
        for sentence in paragraph.sentences:
            assert sentence.endswith("."), sentence
            assert sentence.isprintable()
            assert "  " not in sentence, sentence
            assert not re.search(r"(?<![.\d])1 (bars|notes|semitones|steps)\b", sentence), sentence


def test_the_piece_in_words() -> None:
    words = told(loop_study("mist-lanterns"))
    assert "8 bars of 4/4 at 120 quarter notes a minute" in words
    assert "The key is B minor." in words
    assert "Two chords: Bm for 2 bars and G for 2 bars; the list is heard 2 times." in words
    assert "The end leads back from G to Bm." in words
    assert "low leads back by step: A2 (bar 8, beat 4) to B2." in words


def test_a_part_in_words() -> None:
    words = told(loop_study("mist-lanterns"))
    assert "Its role is lead: it is the highest line" in words
    assert "It lies between B4 and G5; playable on an electric guitar." in words
    assert (
        "Its form is A A': a statement of 4 bars that starts again in bar 5; what changes is bar 8, beat 4 "
        "(E5 instead of F#5)."
    ) in words
    assert "Under the lead's statements the low part moves on: B2, D3." in words


def test_what_is_not_known_is_said() -> None:
    assert "The notes do not decide the key: " in told(loop_study("alone-at-the-rail"))
    assert "The file has one track; 2 lines were told apart" in told(loop_study("two-in-one-boat"))
    bare = study_of(Path("x.mid"), loop(4, line=repeated([(0, 4, 110), (4, 4, 115)], 4, 16)))
    assert "no instrument here plays it" in told(bare)


def test_a_signature_that_says_something_else_is_told() -> None:
    from mido import MetaMessage

    file = midi_of(read_loop("three-rings"))
    file.tracks[0].insert(0, MetaMessage("key_signature", key="C"))
    assert "The file itself states C major." in told(study_midi(file))


def test_a_pedal_a_walk_and_a_missing_tone() -> None:
    made = loop(
        4,
        lead=repeated(LEAD, 4, 16),
        middle=repeated([(2, 2, 64), (10, 2, 64)], 4, 16),
        low=chord_bars((57,), (55,), (53,), (52,)),
    )
    words = told(study_of(Path("x.mid"), made))
    assert "It is a pedal on E4." in words
    assert "It walks down" in words


@pytest.mark.parametrize("name", NAMES)
def test_facts_are_json_of_the_promised_shape(name: str) -> None:
    studied, loop_made = loop_study(name), read_loop(name)
    facts = json.loads(json.dumps(facts_of(studied), allow_nan=False))
    assert facts["key"] == facts["key_candidates"][0]
    assert facts["tempo"] == pytest.approx(loop_made.brief["tempo"], abs=0.01)
    assert facts["meter"] == loop_made.brief.get("meter", "4/4")
    assert facts["bars"] == len(facts["chords"]) == loop_made.brief["bars"]
    assert facts["chords"] == loop_made.chords
    assert facts["brief"] == brief_text(studied)
    assert list(facts["parts"]) == [part.name for part in studied.parts]
    for part in facts["parts"].values():
        assert re.fullmatch(r"[A-G][#b]?\d\.\.[A-G][#b]?\d", part["range"])
        assert all(len(place) == 2 for place in part["varied"])


def test_varied_places_are_pairs_of_bar_and_beat() -> None:
    facts = facts_of(loop_study("gull-watch"))
    assert facts["parts"]["lead"]["repeat_every"] == 4
    assert facts["parts"]["lead"]["varied"] == [[8, 4.0], [8, 5.0]]
    assert facts["parts"]["low"]["repeat_every"] is None
    assert facts["parts"]["low"]["varied"] == []


def test_a_metre_without_a_brief_is_still_studied() -> None:
    studied = study_of(Path("x.mid"), loop(2, Metre(9, 8, 18), lead=[(0, 6, 60), (20, 6, 64)]))
    assert facts_of(studied)["brief"] is None
    assert facts_of(studied)["together"] is None
    assert "its metre is none that briefs know" in page_html(studied, "")


def test_the_page_holds_picture_findings_and_brief() -> None:
    studied = loop_study("mist-lanterns")
    page = page_html(studied, brief_text(studied))
    picture = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', page)
    assert picture is not None
    svg = ElementTree.fromstring(base64.b64decode(picture[1]))
    assert svg.tag.endswith("svg")
    assert "The key is B minor." in page
    assert "[parts.lead]" in page
    assert not re.search(r"(?:src|href)=\"(?!data:|#)", page)
    assert "<script" not in page


def test_the_page_escapes_names() -> None:
    made = loop(4, lead=repeated(LEAD, 4, 16))
    page = page_html(study_of(Path("<b>&.mid"), made), "")
    assert "<b>&.mid" not in page
    assert "&lt;b&gt;&amp;.mid" in page


def test_a_study_reads_as_a_plan() -> None:
    studied = loop_study("chain-and-pulley")
    plan = plan_of(studied, "title")
    assert [span.chord.symbol for span in plan.spans[:4]] == ["D", "A/C#", "Bm", "G"]
    assert [part.name for part in plan.by_rank] == [part.name for part in studied.parts]
    assert len(arrangement_of(studied).notes) == sum(len(part.part.notes) for part in studied.parts)


def test_together() -> None:
    made = loop(4, high=repeated([(0, 8, 76), (8, 8, 74)], 4, 16), low=repeated([(0, 8, 45), (8, 8, 47)], 4, 16))
    found = together(study_of(Path("x.mid"), made))
    assert found is not None
    assert [(pair.upper, pair.lower, pair.gap) for pair in found.registers] == [("lead", "low", 27)]
    assert (found.shared, found.starts) == (8, 8)
    assert found.outer is not None
    assert (found.outer.contrary, found.outer.similar, found.outer.oblique) == (7, 0, 0)
    assert together(study_of(Path("x.mid"), loop(4, one=repeated(LEAD, 4, 16)))) is None


@pytest.mark.parametrize(
    ("last", "words", "back"),
    [
        (47, "low leads back by step: B2 (bar 4, beat 1) to A2.", True),
        (45, "The last note of low, A2, is the one it begins with.", True),
        (52, "low leads back from E3 (bar 4, beat 1) to A2.", True),
        (64, "low does not lead back smoothly: E4 (bar 4, beat 1) to A2 is a larger leap than any before.", False),
    ],
)
def test_whether_the_end_leads_back(last: int, words: str, back: bool) -> None:
    before = 57 if last == 64 else 52
    made = loop(4, lead=repeated(LEAD, 4, 16), low=chord_bars((45,), (52,), (before,), (last,)))
    studied = study_of(Path("x.mid"), made)
    assert words in seam_sentences(studied)
    assert leads_back(studied, studied.part("low")) == back


def test_names() -> None:
    assert plain_name("  Gitarre  (ü) #2 ") == "Gitarre u 2"
    assert plain_name("東京") == ""
    assert plain_name("CON") == ""
    assert plain_name("x" * 60) == "x" * 40
    assert distinct(["a", "A", "b", "a"]) == ["a", "A 2", "b", "a 3"]
    assert len(distinct(["x" * 40, "x" * 40])[1]) <= 40


def test_words_in_a_list() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"


def test_what_a_variation_changes() -> None:
    steady: Events = [(at, 2, 60 + at // 2) for at in range(0, 16, 2)]
    once: Events = [*steady, (16, 2, 60), (20, 2, 62), (24, 2, 64), (28, 2, 65)]
    last: Events = [(16, 2, 60), (20, 2, 67), (26, 2, 64), (28, 2, 65)]
    studied = study_of(
        Path("x.mid"), loop(4, x=once + [(at + 32, length, pitch) for at, length, pitch in steady + last])
    )
    (part,) = studied.parts
    changes = facts_of(studied)["parts"][part.name]["changes"]
    assert [(change["at"], change["now"], change["before"]) for change in changes] == [
        ([4, 2.0], ["G4"], ["D4"]),
        ([4, 3.0], [], ["E4"]),
        ([4, 3.5], ["E4"], []),
    ]
    assert "bar 4, beat 2 (G4 instead of D4); bar 4, beat 3 (E4 is left out); bar 4, beat 3.5 (E4 is new)" in (
        " ".join(part_sentences(studied, part))
    )
