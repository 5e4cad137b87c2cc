"""The engraved score: every note on the pages, nothing from the web, the same bytes again."""

from __future__ import annotations

import re
import subprocess
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from xml.etree.ElementTree import SubElement, fromstring, tostring

import pytest

from solver.export.engraving import engrave, score_html
from solver.export.score import score_xml
from tests.conftest import browser
from tests.export.sample_arrangements import sample_arrangement
from tests.export.score.scores import plan_of

FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--no-pdf-header-footer")
NAMES = ("slack-water", "triplets", "capo")


def pages_of(name: str) -> tuple[bytes, list[str]]:
    plan = plan_of(name)
    score = score_xml(plan, sample_arrangement(plan))
    return score, engrave(score)


@pytest.mark.parametrize("name", NAMES)
def test_every_note_is_drawn_once_and_every_page_is_svg(name: str) -> None:
    score, pages = pages_of(name)
    wanted = {
        note.get("id")
        for note in fromstring(score).iter("note")
        if note.find("pitch") is not None and note.get("print-object") != "no"
    }
    drawn = [element.get("id") for page in pages for element in fromstring(page).iter() if element.get("id") in wanted]
    assert sorted(map(str, drawn)) == sorted(map(str, wanted))


def test_it_engraves_the_same_again_whatever_was_engraved_before() -> None:
    first = pages_of("capo")[1]
    pages_of("triplets")
    assert pages_of("capo")[1] == first


def test_a_chord_symbol_is_written_once() -> None:
    plan = plan_of("slack-water")
    root = fromstring(score_xml(plan, sample_arrangement(plan)))
    harmonies = root.findall(".//harmony")
    assert harmonies
    for harmony in harmonies:
        kind = harmony.find("kind")
        assert kind is not None
        kind.text, kind.attrib["text"] = "major", "add9"
        degree = SubElement(harmony, "degree", {"print-object": "no"})
        for name, value in (("degree-value", "9"), ("degree-alter", "0"), ("degree-type", "add")):
            SubElement(degree, name).text = value
        staff = harmony.find("staff")
        assert staff is not None
        harmony.remove(staff)
        harmony.append(staff)
    words = "".join("".join(fromstring(page).itertext()) for page in engrave(tostring(root)))
    assert words.count("add9") == len(harmonies)


def test_any_thread_engraves_the_same() -> None:
    score, pages = pages_of(NAMES[0])
    with ThreadPoolExecutor(1) as other:
        assert other.submit(engrave, score).result() == pages


@pytest.mark.parametrize("name", NAMES)
def test_nothing_comes_from_the_web(name: str) -> None:
    pages = pages_of(name)[1]
    for text in (*pages, score_html("Ferry lights", pages)):
        without_data = re.sub(r"data:[\w/;=+-]+,[A-Za-z0-9+/=]+", "", text)  # verovio puts its text font into the page
        addresses = set(re.findall(r"(?:https?:)?//[\w.-]+[^\s\"')]*", without_data))
        assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
        assert "<script" not in text


def test_the_title_is_escaped() -> None:
    assert "<title>Tide &lt;table&gt;</title>" in score_html("Tide <table>", [])


def test_what_is_no_score_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot read"):
        engrave(b"<nothing/>")


@pytest.mark.browser
def test_the_page_prints_as_sheets_of_a4(tmp_path: Path) -> None:
    pages = pages_of("slack-water")[1] * 2
    (tmp_path / "score.html").write_text(score_html("Slack water", pages), encoding="utf-8")
    program = browser()
    assert program is not None
    command = [program, *FLAGS, f"--print-to-pdf={tmp_path / 'score.pdf'}", (tmp_path / "score.html").as_uri()]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    pdf = (tmp_path / "score.pdf").read_bytes()
    sheets = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert len(sheets) == len(pages)
    assert all((round(float(width)), round(float(height))) == (595, 842) for width, height in sheets)  # ISO 216: A4
