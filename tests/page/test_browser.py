"""The page in a real Chromium: an evening's work, at both widths, without an error and without another host."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from starlette.responses import FileResponse
from starlette.routing import Route

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.export.midi_reading import read_midi
from solver.export.sound.sampled import VARIABLE
from solver.take import list_takes, read_take
from tests.conftest import needs
from tests.page.browsing import PATIENCE, WIDTHS, Site, Visit, launched, served, visited
from tests.page.served import made_take, workspace

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("page in a browser")]

BRIEF = """# A bell and an engine, invented.
key = "A minor"
bars = 2
chords = ["Am", "F"]
count = 1
grid = 8

[parts.lead]
notes_per_bar = [2, 3]

[parts.low]
notes_per_bar = [2, 2]
"""
TOO_LOW = """key = "A minor"
bars = 2
chords = ["Am"]
chord_bars = 2
grid = 8
count = 1

[parts.lead]

[parts.low]
range = "E2..G#2"   # as low as the hull
"""
# The loudest of some samples, a moment from now.
SAMPLES = """new Promise((done) => {
  const seen = new AnalyserNode(player.context, { fftSize: 32768 });
  player.master.connect(seen);
  setTimeout(() => {
    const data = new Float32Array(seen.fftSize);
    seen.getFloatTimeDomainData(data);
    done(Math.max(...data.map(Math.abs)));
  }, 700);
})"""

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


def test_an_evening(visit: Open, site: Site, tmp_path: Path) -> None:
    """Write a brief, solve it, hear it, lock, solve the rest, export, reload."""
    with visit() as here:
        page = here.page
        here.go("#/brief/")
        page.fill("#brief-name", "bell-and-engine")
        page.click("summary:has-text('As text')")
        page.fill("#brief-text", BRIEF)
        here.wait("legend:has-text('Part: low')")
        page.fill("#f-bars", "80")
        here.wait("#f-bars-wrong:has-text('from 1 to 32')")
        page.fill("#f-bars", "2")
        page.fill("#f-tempo", "150")
        here.wait("#f-bars[aria-invalid]", gone=True)
        page.click("text=Save and solve")
        page.wait_for_url("**/loops/bell-and-engine/take-001/**", timeout=PATIENCE)
        text = (site.root / "briefs" / "bell-and-engine.toml").read_text()
        assert text.startswith("# A bell and an engine, invented.\n")
        assert "tempo = 150" in text
        here.wait(".note")
        hear(here)
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
        assert page.locator(".locks li").all_inner_texts() == ["lead, all bars free", "low, bar 1 free"]
        page.click(".kin >> text=take-001")
        page.wait_for_url("**/take-001/1")


def test_a_conflict_is_explained_and_a_repair_applied(visit: Open, site: Site) -> None:
    with visit() as here:
        (site.root / "briefs" / "hull.toml").write_text(TOO_LOW, encoding="utf-8")
        here.go("#/loops/hull")
        here.page.click("text=Solve the brief")
        here.wait(".repairs button")
        assert 'range = "E2..G#2"' in here.page.locator(".clash").inner_text()
        assert here.page.locator(".repairs button").first.inner_text().endswith("from G#2 to A2")
        here.page.locator(".repairs button").first.click()
        here.wait(".tag")
        here.page.wait_for_url("**/hull/take-001/1", timeout=PATIENCE)
        assert here.page.locator(".repairs").count() == 0
    assert (site.root / "briefs" / "hull.toml").read_text() == TOO_LOW.replace("G#2", "A2")


def hear(here: Visit) -> None:
    """Play: the clock of the sound runs, a sample amid the loop is not silence; parts are silenced in place."""
    page = here.page
    page.keyboard.press(" ")
    here.wait(".hand-line.shown")
    before = here.player("player.context.currentTime")
    assert here.player(SAMPLES) > 0.01
    assert here.player("player.context.currentTime") > before
    lengths = here.player("player.playing.sources.map((source) => [source.buffer.length, source.loop])")
    assert lengths == [[round(8 * 60 / 150 * 44_100), True]] * 2
    page.click("[aria-label='Silence: lead']")
    page.click("[aria-label='Silence: low']")
    assert here.player("[...player.playing.gains.values()].map((gain) => player.playing !== null)") == [True, True]
    page.wait_for_timeout(150)
    assert here.player(SAMPLES) < 0.001
    page.click("[aria-label='Silence: lead']")
    assert here.player(SAMPLES) > 0.01
    page.click("[aria-label='Silence: low']")
    page.fill("#tempo", "75")
    page.press("#tempo", "Enter")
    page.select_option("#beat", "half-time")
    here.wait(".with-beat:not([hidden])")
    page.wait_for_timeout(300)
    assert here.player("player.playing.sources.map((source) => source.buffer.length)") == [2 * lengths[0][0]] * 3
    page.select_option("#beat", "none")
    page.locator(".play").press("Enter")
    here.wait(".hand-line:not(.shown)")


def lock_by_mouse_and_keyboard(here: Visit) -> None:
    """Drag over both bars of the lead; press L on a note of the low part's first bar."""
    page = here.page
    lead = page.locator(".note[aria-label^='lead,']")
    first, last = lead.first.bounding_box(), lead.last.bounding_box()
    assert first is not None
    assert last is not None
    page.mouse.move(first["x"] + 8, first["y"] + first["height"] / 2)
    page.mouse.down()
    page.mouse.move(last["x"] + 12, last["y"] + 4, steps=4)
    page.mouse.up()
    page.locator(".note[aria-label^='low,']").first.focus()
    page.keyboard.press("l")
    assert page.locator(".locks li").all_inner_texts() == ["lead, all bars free", "low, bar 1 free"]
    assert page.locator(".lock").count() == 2
    assert page.locator(".lock .hitch").count() == 2
    assert page.locator(".note[aria-pressed=true]").count() > lead.count()


def export(here: Visit, site: Site, folder: Path) -> None:
    """Save the MIDI file and read it."""
    with here.page.expect_download() as saving:
        here.page.click("text=MIDI, all parts")
    path = folder / saving.value.suggested_filename
    saving.value.save_as(path)
    plan = plan_from(read_brief(site.root / "briefs" / "bell-and-engine.toml"))
    take = read_take(list_takes(site.root / "out" / "bell-and-engine")[-1])
    written = [(note.part, note.onset, note.pitch) for note in take.arrangements[0].arrangement.notes]
    read = [(note.part, note.onset, note.pitch) for note in read_midi(path, plan).arrangement.notes]
    assert read == written


@pytest.mark.parametrize("width", WIDTHS)
def test_comparing_and_reading_at_both_widths(visit: Open, width: int) -> None:
    with visit(width) as here:
        page = here.page
        here.go("#/")
        page.click("text=Bell and engine")
        here.wait(".note")
        assert page.locator(".tag").count() == 3
        page.locator(".note").first.focus()
        reading = page.locator(".reading").inner_text()
        assert reading.startswith("lead · ")
        assert "bar 1, beat" in reading
        page.keyboard.press("ArrowDown")
        assert "low · " in page.locator(".reading").inner_text()
        page.keyboard.press(" ")
        here.wait(".hand-line.shown")
        page.click("[aria-label='compare with arrangement 2']")
        here.wait(".differs")
        place = "[player.playing.began, player.playing.seconds, player.wanted.base.at(-1)]"
        began, seconds, _ = here.player(place)
        page.keyboard.press("x")
        here.wait(".tag.here:nth-child(2)")
        page.wait_for_timeout(200)
        began_again, seconds_again, base = here.player(place)
        assert (seconds_again, base) == (seconds, "2")
        # The other one begins as if it had been there all along: at the same place in the loop.
        assert (began_again - began) % seconds == pytest.approx(0, abs=1e-3) or (began - began_again) % seconds < 1e-3
        page.keyboard.press(" ")


def test_another_tab_hears_what_the_first_one_does(visit: Open, site: Site) -> None:
    with visit() as here, visit(390) as there:
        here.go("#/loops/bell/take-001/2")
        there.go("#/loops/bell/take-001/2")
        here.wait(".note")
        there.wait(".note")
        here.page.fill("#own-note", "louder low part")
        here.page.press("#own-note", "Enter")
        here.wait(".at-tags")
        there.page.click("text=Mark as a favourite")
        there.wait(".favourite[aria-pressed=true]")
        there.page.reload()
        there.wait(".favourite[aria-pressed=true]")
        assert there.page.input_value("#own-note") == "louder low part"


@pytest.mark.axe
@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 390)])
def test_nothing_is_in_the_way_of_anybody(visit: Open, site: Site, scheme: str, width: int) -> None:
    """axe-core finds no fault in any view, contrast included."""
    needs("axe")
    if not any(getattr(route, "path", "") == "/axe.js" for route in site.app.routes):
        site.app.router.routes.append(Route("/axe.js", lambda request: FileResponse(os.environ["SENNIT_AXE"])))
    with visit(width, scheme) as here:
        views = (("#/", ".card"), ("#/brief/bell", "#f-bars"), ("#/loops/bell", ".note"))
        for view, there in views if scheme == "light" else views[2:]:
            here.go(view)
            here.wait(there)
            assert faults(here) == []
        here.page.locator(".note").first.focus()
        here.page.keyboard.press("L")
        here.page.click("[aria-label='Silence: low']")
        assert faults(here) == []


def faults(here: Visit) -> list[Any]:
    """What axe-core finds, in short."""
    return here.page.evaluate(
        """async () => {
          if (!window.axe) await new Promise((done) => {
            const script = Object.assign(document.createElement("script"), { src: "/axe.js", onload: done });
            document.head.append(script);
          });
          const { violations } = await axe.run(document);
          return violations.map((each) => [each.id, each.nodes.slice(0, 3).map((node) => node.html.slice(0, 160))]);
        }"""
    )
