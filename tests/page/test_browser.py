"""The page in a real Chromium: an evening's work, at both widths, without an error and without another host."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from solver.arrangement import Arrangement, Note, Ranked
from solver.brief.planning import plan_from_text
from solver.export.midi import midi_bytes
from solver.export.sound.sampled import VARIABLE
from solver.take import TakeHeader, list_takes, open_take, read_take
from tests.conftest import needs
from tests.export.sample_arrangements import sample_arrangement
from tests.page.browsing import PATIENCE, WIDTHS, Site, Visit, launched, served, visited
from tests.page.deeds import (
    BEYOND,
    FILES,
    SAMPLES,
    compare_and_read,
    dragged,
    export,
    faults_of,
    lock_by_mouse_and_keyboard,
    locks,
    play,
    pressed_meanwhile,
)
from tests.page.served import BELL, made_take, workspace
from tests.page.texts import BRIEF, STILL, TOO_LOW

pytestmark = pytest.mark.browser

NAMES = ("the-lamp-over-the-gangway-seen-from-shore", "an engine that nobody aboard can hear no")
# Every rule at each width and in each theme; where both have been looked at apart, contrast is what they share.
LOOKS: tuple[tuple[int, Any, tuple[str, ...]], ...] = (
    (1280, "light", ()),
    (1280, "dark", ("color-contrast",)),
    (390, "dark", ()),
    (390, "light", ("color-contrast",)),
)
Open = Callable[..., AbstractContextManager[Visit]]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    root = workspace(tmp_path_factory.mktemp("page"), "one-rope", "bell")
    made_take(root, "bell", 3)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, "")
        with served(root) as found:
            yield found


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with launched() as found:
        yield found


@pytest.fixture
def visit(site: Site, chromium: Browser) -> Open:
    return lambda width=1280, scheme="light": visited(chromium, site, width, scheme)


def brief_of(site: Site, name: str, text: str) -> Path:
    """A brief that somebody has written."""
    path = site.root / "briefs" / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_an_evening(visit: Open, site: Site, tmp_path: Path) -> None:
    """Write a brief, keep clear of a file, solve, hear, lock, solve the rest, export, reload."""
    plan = plan_from_text(BELL, "bell")
    (tmp_path / "quay song.mid").write_bytes(midi_bytes(plan, sample_arrangement(plan)))
    with visit() as here:
        page = here.page
        here.go("#/brief/")
        page.fill("#brief-name", "bell-and-engine")
        page.click("summary:has-text('As text')")
        page.fill("#brief-text", BRIEF)
        here.wait("legend:has-text('Part: background')", gone=True)
        page.fill("#f-bars", "80")
        here.wait("#f-bars-wrong:has-text('from 1 to 32')")
        page.fill("#f-bars", "2")
        page.fill("#f-tempo", "150")
        page.click("summary:has-text('The search and more')")
        page.set_input_files("#f-avoid-file", tmp_path / "quay song.mid")
        here.wait("#f-bars[aria-invalid]", gone=True)
        here.until("document.querySelector('#brief-text').value.includes('quay song.mid')")
        page.click("text=Save and solve")
        page.wait_for_url("**/loops/bell-and-engine/take-001/**", timeout=PATIENCE)
        text = (site.root / "briefs" / "bell-and-engine.toml").read_text()
        assert text.startswith("# A bell and an engine, invented.\n")
        assert {'avoid = ["midi/quay song.mid"]', "tempo = 150"} <= set(text.splitlines())
        here.wait(".note")
        assert "midi/quay song.mid" in page.locator("text=Nearest to what it keeps clear of >> xpath=..").inner_text()
        play(here)
        page.keyboard.press(" ")
        first = read_take(site.root / "out" / "bell-and-engine" / "take-001").arrangements[0].arrangement
        lock_by_mouse_and_keyboard(here)
        page.click("text=Solve the rest")
        page.wait_for_url("**/take-002/**", timeout=PATIENCE)
        take = read_take(site.root / "out" / "bell-and-engine" / "take-002")
        assert set(take.header.locks) == {"lead:1-2", "low:1"}
        again = take.arrangements[0].arrangement
        assert again.part("lead") == first.part("lead")
        kept = [note for note in first.part("low") if note.onset < 8]
        assert [note for note in again.part("low") if note.onset < 8] == kept
        assert again != first
        export(here, site, tmp_path)
        page.click("text=Mark as a favourite")
        here.wait(".favourite[aria-pressed=true]")
        page.fill("#own-note", "for the bridge")
        page.press("#own-note", "Enter")
        here.wait(".kin button:has-text('for the bridge')")
        page.reload()
        here.wait(".favourite[aria-pressed=true]")
        assert page.input_value("#own-note") == "for the bridge"
        assert locks(here) == ["lead, all bars free", "low, bar 1 free"]
        page.click(".kin >> text=take-001")
        page.wait_for_url("**/take-001/1")


def test_hearing(visit: Open) -> None:
    """Parts are silenced and heard alone in place; another speed; a beat where it is wanted; all from the keyboard."""
    with visit() as here:
        page = here.page
        here.go("#/loops/bell")
        here.wait(".note")
        play(here)
        began = here.player("player.playing.began")
        whole = round(8 * 60 / 160 * 44_100)
        assert here.player(FILES) == [[whole, True]] * 2
        page.focus("[aria-label='Silence: lead']")
        page.keyboard.press("Enter")
        page.click("[aria-label='Silence: low']")
        here.wait(".strand.hushed + .strand.hushed")
        assert here.player(SAMPLES) < 0.001
        page.click("[aria-label='Hear alone: low']")
        assert here.player(SAMPLES) > 0.01
        assert here.player("player.playing.began") == began  # nothing began anew: all parts are still in step
        page.fill("#tempo", "80")
        page.press("#tempo", "Enter")
        page.select_option("#beat", "half-time")
        page.select_option("#hit", "clap")
        here.wait(".with-beat:not([hidden])")
        kind, name, address = dragged(here, "WAV with the beat")
        assert (kind, name) == ("audio/wav", "Bell and engine - WAV with the beat.wav")
        assert address.endswith("?beat=half-time&hit=clap")
        here.player(
            f"new Promise(function wait(done) {{ ({FILES}).length === 3 ? done() : setTimeout(wait, 20, done); }})"
        )
        assert here.player(FILES) == [[2 * whole, True]] * 3
        page.select_option("#beat", "none")
        page.locator(".play").press("Enter")
        here.wait(".hand-line:not(.shown)")


def test_comparing_and_reading_at_both_widths(visit: Open) -> None:
    with visit() as here:
        for width in WIDTHS:
            here.resize(width)
            compare_and_read(here)


def test_long_names_are_whole(visit: Open, site: Site) -> None:
    text = BELL.replace("[parts.lead]", f'[parts."{NAMES[0][:40]}"]\nrole = "lead"')
    text = text.replace("[parts.low]", f'[parts."{NAMES[1]}"]\nrole = "low"')
    brief_of(site, "long", text)
    plan = plan_from_text(text, "long")
    with open_take(site.root / "out" / "long", TakeHeader("long", text, 0), plan) as take:
        take.finish([Ranked(sample_arrangement(plan), 50.0, 50.0, True, ())])
    with visit(390) as here:
        here.go("#/loops/long")
        here.wait(".note")
        drawn = "".join(here.page.locator(".sheet > svg:first-child text.name").all_text_contents())
        for part in plan.parts:
            assert part.name.replace(" ", "") in drawn.replace(" ", "")
        assert here.page.evaluate(BEYOND) == []


def test_a_conflict_of_the_brief_is_explained_and_a_repair_applied(visit: Open, site: Site) -> None:
    with visit() as here:
        brief = brief_of(site, "hull", TOO_LOW)
        here.go("#/loops/hull")
        here.page.click("text=Solve the brief")
        here.wait(".repairs button")
        assert 'range = "E2..G#2"' in here.page.locator(".clash").inner_text()
        assert here.page.locator(".repairs button").first.inner_text().endswith("from G#2 to A2")
        here.page.locator(".repairs button").first.click()
        here.wait(".tag")
        here.page.wait_for_url("**/hull/take-001/1", timeout=PATIENCE)
        assert here.page.locator(".repairs").count() == 0
    assert brief.read_text() == TOO_LOW.replace("G#2", "A2")


def test_a_lock_in_the_way_is_shown_and_taken_off(visit: Open, site: Site) -> None:
    """A lock that makes the brief impossible: the conflict in the brief's words, unlocking as a button."""
    brief_of(site, "still", STILL)
    plan = plan_from_text(STILL, "still")
    lead = sample_arrangement(plan).part("lead")
    low = (Note("low", 0, 2, 45), Note("low", 2, 2, 48))
    with open_take(site.root / "out" / "still", TakeHeader("still", STILL, 0), plan) as take:
        take.finish([Ranked(Arrangement((*lead, *low)), 50.0, 50.0, True, ())])
    with visit(390, "dark") as here:
        page = here.page
        here.go("#/loops/still")
        here.wait(".note")
        page.locator(".note[aria-label^='low,']").last.focus()
        page.keyboard.press("l")
        page.click("text=Solve the rest")
        here.wait(".repairs button")
        assert 'motion = "hold"' in page.locator(".clash").inner_text()
        assert faults_of(here, site) == []
        assert page.locator(".repairs button").all_inner_texts() == [
            "Let low move freely instead of hold",
            "Unlock low bar 2",
        ]
        page.click("text=Unlock low bar 2")
        page.wait_for_url("**/still/take-002/1", timeout=PATIENCE)
        assert locks(here) == []
        assert page.locator(".clash").count() == 0


def test_a_second_solve_waits_or_takes_over(visit: Open, site: Site) -> None:
    """The person is asked which comes first; the solve that gives way keeps what it has found."""
    brief_of(site, "long-wait", BRIEF.replace("count = 1", "count = 60"))
    with visit() as here:
        page = here.page
        here.go("#/loops/long-wait")
        page.click("text=Solve the brief")
        here.wait(".tag")  # an arrangement is there while the search goes on
        pressed_meanwhile(here)
        page.click("text=Solve the brief")
        here.wait("dialog[open]")
        assert faults_of(here, site) == []
        page.keyboard.press("Enter")  # the first answer: let it wait its turn
        here.wait(".job >> nth=1")
        assert "waits for the solve before it" in page.locator(".job").nth(1).inner_text()
        page.click("text=Solve the brief")
        page.click("text=Stop the other, keep what it has, and begin")
        here.until("document.querySelectorAll('.job').length === 1")
        page.click("text=Stop, keep what is done")
        here.wait(".job", gone=True)
    (first, *_) = list_takes(site.root / "out" / "long-wait")
    assert len(read_take(first).arrangements) >= 1


@pytest.mark.axe
def test_nothing_is_in_the_way_of_anybody(visit: Open, site: Site) -> None:
    """axe-core finds no fault in any view, contrast included, at both widths, light and dark."""
    needs("axe")
    views = (("#/", ".card"), ("#/brief/bell", "#f-bars"), ("#/loops/bell/take-001/1/take-001.2", ".differs"))
    with visit() as here:
        for view, there in views:
            here.go(view)
            here.wait(there)
            if there == ".differs":
                here.page.locator(".note").first.focus()
                here.page.keyboard.press("L")
                here.page.click("[aria-label='Silence: low']")
            for width, scheme, rules in LOOKS:
                here.resize(width)
                here.page.emulate_media(color_scheme=scheme)
                assert faults_of(here, site, rules) == [], (view, width, scheme)


def test_another_tab_hears_what_the_first_one_does(visit: Open, site: Site) -> None:
    """Two tabs: no remark is lost, and what was overtaken is said with the words that were not kept."""
    with visit() as here, visit(390) as there:
        here.go("#/loops/bell/take-001/2")
        there.go("#/loops/bell/take-001/2")
        here.wait(".note")
        there.wait(".note")
        here.page.fill("#own-note", "louder low part")
        with here.page.expect_response("**/remark"):
            here.page.press("#own-note", "Enter")
        there.page.fill("#own-note", "slower")
        there.page.press("#own-note", "Enter")
        there.wait("#alerts:has-text('you wrote: slower')")
        assert there.page.input_value("#own-note") == "louder low part"
        there.errors.clear()  # the browser itself logs that the server refused
        there.page.click("text=Mark as a favourite")
        there.wait(".favourite[aria-pressed=true]")
        there.page.reload()
        there.wait(".favourite[aria-pressed=true]")
        assert there.page.input_value("#own-note") == "louder low part"
