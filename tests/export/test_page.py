"""index.html of a take: complete, escaped, from the file system alone."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from solver.arrangement import Mark
from solver.export.page import page_html
from solver.rules.rule import Breach
from solver.take import Parent, TakeHeader, open_take
from tests.conftest import browser
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan
from tests.page.browsing import launched

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--allow-file-access-from-files",
    "--virtual-time-budget=4000",
)
HEADER = TakeHeader("ferry-lights", TEXTS["ferry-lights"], 7, {"count": 3}, Parent("take-004", 2), ("lead",), ("low",))


class Seen(HTMLParser):
    """Tags with their attributes, and all text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    def every(self, tag: str, attribute: str) -> list[str]:
        return [value for name, found in self.tags if name == tag and (value := found.get(attribute)) is not None]


def page() -> str:
    plan = sample_plan("ferry-lights")
    return page_html(plan, HEADER, "plucked-string model", sample_ranked(plan, 3))


def test_each_arrangement_has_picture_looping_player_downloads_and_marks() -> None:
    seen = Seen(page())
    assert seen.every("img", "src") == ["1.svg", "2.svg", "3.svg"]
    assert all(len(words) > 40 for words in seen.every("img", "alt"))
    assert seen.every("audio", "src") == ["1.wav", "2.wav", "3.wav"]
    assert all("loop" in found and "controls" in found for tag, found in seen.tags if tag == "audio")
    downloads = [str(found["href"]) for tag, found in seen.tags if tag == "a" and "download" in found]
    assert sorted(downloads) == sorted(f"{n}.{kind}" for n in (1, 2, 3) for kind in ("mid", "wav", "svg"))
    for ranked in sample_ranked(sample_plan("ferry-lights"), 3):
        assert f"{ranked.total:.1f} of 100" in seen.text
        assert ranked.proof in seen.text
        for mark in ranked.marks:
            assert mark.merit in seen.text
            assert mark.sentence in seen.text
    meters = [found for _, found in seen.tags if found.get("role") == "meter"]
    assert [found["aria-valuenow"] for found in meters[:4]] == ["98", "84", "72", "58"]


def test_it_says_what_the_total_is_not_and_that_previews_can_be_loud() -> None:
    text = " ".join(Seen(page()).text.split())
    assert "checklist" in text
    assert "no forecast of what people like" in text
    assert "Frieler, Jakubowski and Müllensiefen 2015" in text
    assert "Start low." in text


def test_it_tells_where_it_came_from() -> None:
    seen = Seen(page())
    for words in ("arrangement 2 of take-004", "plucked-string model", "numpy", TEXTS["ferry-lights"].strip()):
        assert words in seen.text


def test_nothing_comes_from_the_web_and_no_time_of_day_is_told() -> None:
    text = page()
    assert re.findall(r"(?:https?:)?//[a-z]", text) == []
    assert re.findall(r"\b\d{1,2}:\d{2}\b|\b20[2-9]\d-\d{2}", text) == []
    assert text == page()


def test_words_of_the_brief_are_never_markup() -> None:
    plan = replace(sample_plan("ferry-lights"), title="<script>alert(1)</script>")
    header = replace(HEADER, brief_text="# </pre><b>", brief_name='"><i>')
    ranked = sample_ranked(plan, 1)[0]
    ranked = replace(ranked, summary="<u>lead</u>", marks=(Mark("<s>", 50, 1, "a & b"),))
    seen = Seen(page_html(plan, header, "<em>", [ranked]))
    assert not {"i", "u", "s", "em"} & {tag for tag, _ in seen.tags}
    assert seen.text.count("alert(1)") == 2
    assert len([tag for tag, _ in seen.tags if tag == "script"]) == 1


def test_the_share_of_each_merit_adds_up() -> None:
    shares = [float(found) for found in re.findall(r"([\d.]+) % of the total", page())]
    assert sum(shares[:4]) == pytest.approx(100, abs=0.21)


@pytest.mark.browser
def test_a_browser_shows_it_from_the_file_system_at_any_width(tmp_path: Path) -> None:
    plan = sample_plan("one-rope")
    with open_take(tmp_path / "one-rope", TakeHeader("one-rope", TEXTS["one-rope"], 1), plan) as take:
        folder = take.finish(sample_ranked(plan, 2))
    frames = "".join(f'<iframe src="index.html" width="{width}" height="800"></iframe>' for width in (390, 800, 1280))
    script = """<script>onload = () => { document.title = [...document.querySelectorAll("iframe")].map((frame) => {
      const page = frame.contentDocument;
      const pictures = [...page.images].every((image) => image.naturalWidth > 0);
      const fits = page.documentElement.scrollWidth <= page.documentElement.clientWidth;
      return [frame.width, fits, pictures, page.querySelectorAll(".hand").length].join(" ");
    }).join("; "); }</script>"""
    (folder / "frames.html").write_text(f"<!doctype html><title></title>{frames}{script}", encoding="utf-8")
    program = browser()
    assert program is not None
    ran = subprocess.run(
        [program, *FLAGS, "--dump-dom", (folder / "frames.html").as_uri()],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    assert "<title>390 true true 2; 800 true true 2; 1280 true true 2</title>" in ran.stdout


def test_on_paper_the_picture_is_whole_and_nothing_is_left_of_the_player(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text(page(), encoding="utf-8")
    with launched() as found:
        paper = found.new_page(viewport={"width": 700, "height": 1000})  # A4 within usual margins, CSS pixels
        paper.emulate_media(media="print")
        paper.goto((tmp_path / "index.html").as_uri())
        shown = "found => found.map((e) => [e.scrollWidth <= e.clientWidth, e.getBoundingClientRect().height > 0])"
        assert paper.locator(".picture").evaluate_all(shown) == [[True, True]] * 3
        assert paper.locator("h3:visible").all_inner_texts() == ["Merits, 0 to 100"] * 3


def test_rules_that_locked_notes_break_are_told() -> None:
    plan = sample_plan("ferry-lights")
    breach = Breach("in the scale", "lead", 4, "A#4 is not in B minor under Bm")
    ranked = replace(sample_ranked(plan, 1)[0], excused=(breach,))
    text = Seen(page_html(plan, HEADER, "plucked-string model", [ranked])).text
    assert "Locked notes break a rule" in text
    assert 'Lead: locked notes break "in the scale" (bar 1, beat 2).' in text
    assert "Locked notes break a rule" not in page()
