"""What a person does on the page, for tests in a browser, and what is to be seen of it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from starlette.responses import FileResponse
from starlette.routing import Route

from solver.brief.planning import plan_from
from solver.brief.reader import read_brief
from solver.export.midi_reading import read_midi
from solver.take import list_takes, read_take
from tests.page.browsing import Site, Visit

# The loudest of some samples, a moment from now.
SAMPLES = """new Promise((done) => {
  const seen = new AnalyserNode(player.context, { fftSize: 16384 });
  player.master.connect(seen);
  setTimeout(() => {
    const data = new Float32Array(seen.fftSize);
    seen.getFloatTimeDomainData(data);
    done(Math.max(...data.map(Math.abs)));
  }, 420);
})"""
FILES = "player.playing.sources.map((source) => [source.buffer.length, source.loop])"
AXE = """async (rules) => {
  if (!window.axe) await new Promise((done) => {
    const script = Object.assign(document.createElement("script"), { src: "/axe.js", onload: done });
    document.head.append(script);
  });
  const { violations } = await axe.run(document, rules.length ? { runOnly: rules } : {});
  return violations.map((each) => [each.id, each.nodes.slice(0, 3).map((node) => node.html.slice(0, 160))]);
}"""
# The arrangement that is shown has become a better one; then time enough to draw it.
NEWS = """async () => {
  const { jobs, news } = await import("/static/jobs.js");
  const job = [...jobs.values()].at(-1);
  const found = job.found.map((entry) => ({ ...entry, version: "another" }));
  news.dispatchEvent(new CustomEvent("job", { detail: { job: { ...job, found }, ended: false } }));
  await new Promise((go) => setTimeout(go, 400));
}"""
# Words in a picture that reach beyond it.
BEYOND = """() => [...document.querySelectorAll(".sheet > svg:first-child text")]
  .filter((text) => text.getBBox().x + text.getBBox().width > text.ownerSVGElement.viewBox.baseVal.width)
  .map((text) => text.textContent)"""


def play(here: Visit) -> None:
    """The space bar plays: the clock of the sound runs, the line moves, what sounds is not silence."""
    here.page.keyboard.press(" ")
    here.wait(".hand-line.shown")
    place = here.page.locator(".hand-line").get_attribute("x1")
    before = here.player("player.context.currentTime")
    assert here.player(SAMPLES) > 0.01
    assert here.player("player.context.currentTime") > before
    here.until(f"document.querySelector('.hand-line').getAttribute('x1') !== '{place}'")


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
    assert locks(here) == ["lead, all bars free", "low, bar 1 free"]
    assert page.locator(".lock").count() == 2
    assert page.locator(".lock .hitch").count() == 3  # one a bar
    assert page.locator(".locked:has(.lock) + g[clip-path]").count() == 1  # under all notes of their row
    assert page.locator(".over .lock").count() == 0
    assert page.locator(".note[aria-pressed=true]").count() > lead.count()


def locks(here: Visit) -> list[str]:
    """What the page says is locked, each with its button."""
    return here.page.locator(".locks li").all_inner_texts()


def dragged(here: Visit, words: str) -> tuple[str, str, str]:
    """What a drag of a file to the desktop carries: its type, its name, its address."""
    carried = here.page.locator(f".away-list a:text-is('{words}')").evaluate(
        """(link) => {
          const carries = new DataTransfer();
          link.dispatchEvent(new DragEvent("dragstart", { dataTransfer: carries, bubbles: true }));
          return carries.getData("DownloadURL");
        }"""
    )
    kind, name, address = carried.split(":", 2)
    return kind, name, address


def export(here: Visit, site: Site, folder: Path) -> None:
    """Save the MIDI file and read it; a drag of it carries the same file."""
    with here.page.expect_download() as saving:
        here.page.click("text=MIDI, all parts")
    path = folder / saving.value.suggested_filename
    saving.value.save_as(path)
    plan = plan_from(read_brief(site.root / "briefs" / "bell-and-engine.toml"))
    take = read_take(list_takes(site.root / "out" / "bell-and-engine")[-1])
    written = [(note.part, note.onset, note.pitch) for note in take.arrangements[0].arrangement.notes]
    read = [(note.part, note.onset, note.pitch) for note in read_midi(path, plan).arrangement.notes]
    assert read == written
    kind, name, address = dragged(here, "MIDI, all parts")
    assert (kind, name) == ("audio/midi", "Bell and engine - MIDI, all parts.mid")
    assert here.page.request.get(address).body() == path.read_bytes()


def pressed_meanwhile(here: Visit) -> None:
    """What is pressed while a better sketch arrives is still there at the release; the keyboard's place is kept."""
    link, tag = here.page.locator(".away-list a").first, here.page.locator(".tag-name").first
    link.hover()
    with here.page.expect_download():
        here.page.mouse.down()
        here.page.evaluate(NEWS)
        here.page.mouse.up()
    tag.focus()
    tag.evaluate("(old) => (window.focused = old)")
    here.page.evaluate(NEWS)
    here.until("!focused.isConnected && document.activeElement.matches('.tag-name')")


def compare_and_read(here: Visit) -> None:
    """Read notes from the keyboard, compare two arrangements, hear the other one at the same place."""
    page = here.page
    here.go("#/")
    page.click("text=Bell and engine >> nth=0")
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
    place = "(window.heard = player.playing, [heard.began, heard.seconds, player.wanted.base.at(-1)])"
    began, seconds, _ = here.player(place)
    page.keyboard.press("x")
    here.wait(".tag.here:nth-child(2)")
    here.until("player.playing !== heard")
    began_again, seconds_again, base = here.player(place)
    assert (seconds_again, base) == (seconds, "2")
    # The other one begins as if it had been there all along: at the same place in the loop.
    assert (began_again - began) % seconds == pytest.approx(0, abs=1e-3) or (began - began_again) % seconds < 1e-3
    page.keyboard.press(" ")


def faults_of(here: Visit, site: Site, rules: Sequence[str] = ()) -> list[Any]:
    """What axe-core finds, where the machine has it."""
    if not os.environ.get("SENNIT_AXE"):
        return []
    if not any(getattr(route, "path", "") == "/axe.js" for route in site.app.routes):
        site.app.router.routes.append(Route("/axe.js", lambda request: FileResponse(os.environ["SENNIT_AXE"])))
    return here.page.evaluate(AXE, list(rules))
