"""A served workspace and a real Chromium for tests: one of each for a whole module, a fresh page for each test."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import uvicorn
from playwright.sync_api import Browser, Page, Request, sync_playwright
from starlette.applications import Starlette

from solver.page.app import page_app
from solver.page.server import ADDRESS, listening
from tests.conftest import browser as chromium
from tests.page.served import TOKEN

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=no-user-gesture-required",
)
PATIENCE = 90_000  # milliseconds: on a busy machine everything takes its time
LOOK = 15  # milliseconds between two looks
WIDTHS, HEIGHT = (1280, 390), 860


@dataclass(frozen=True)
class Site:
    """A running page: its workspace, its address, its application."""

    root: Path
    url: str
    app: Starlette


@dataclass
class Visit:
    """A page in the browser, and what must not happen on it: errors, and requests to other hosts."""

    page: Page
    site: Site
    errors: list[str] = field(default_factory=list)

    def go(self, hash_: str) -> None:
        """Open an address of the page."""
        self.page.goto(f"{self.site.url}{hash_}")

    def wait(self, selector: str, *, gone: bool = False) -> None:
        """Wait until something is there, to be seen or not; or until it is gone."""
        self.page.wait_for_selector(selector, state="detached" if gone else "attached", timeout=PATIENCE)

    def resize(self, width: int) -> None:
        """Make the window as wide as that; what was there before must have fitted."""
        self.fits()
        self.page.set_viewport_size({"width": width, "height": HEIGHT})

    def fits(self) -> None:
        """Nothing reaches beyond the window."""
        wide = self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"the page is {wide} pixels too wide"

    def player(self, script: str) -> Any:
        """The value of an expression over ``player``; the policy of the page allows no text that becomes a script."""
        return self.page.evaluate(
            "async () => { const { player } = await import('/static/main.js'); return await (" + script + "); }"
        )

    def until(self, script: str) -> None:
        """Wait until an expression over ``player`` and the document is true."""
        pause = f"await new Promise((go) => setTimeout(go, {LOOK}))"
        looking = f"for (let left = {PATIENCE // LOOK}; left && !({script}); left -= 1) {pause}"
        assert self.player(f"(async () => {{ {looking}; return Boolean({script}); }})()"), f"never true: {script}"


@contextmanager
def served(root: Path) -> Iterator[Site]:
    """A workspace served from a thread, until this is left."""
    opened = listening(0)
    port = opened.getsockname()[1]
    app = page_app(root, port, TOKEN)
    opened.listen()
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [opened]})
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        yield Site(root, f"http://{ADDRESS}:{port}/", app)
    finally:
        server.should_exit = True
        thread.join(30)


@contextmanager
def launched() -> Iterator[Browser]:
    """The system's Chromium."""
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        yield found
        found.close()


@contextmanager
def visited(found: Browser, site: Site, width: int, scheme: Any = "light") -> Iterator[Visit]:
    """A fresh page of a width; when it is left without an error, nothing may have gone wrong on it meanwhile."""
    context = found.new_context(viewport={"width": width, "height": HEIGHT}, color_scheme=scheme, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    visit = Visit(page, site)

    def foreign(request: Request) -> None:
        if not request.url.startswith((site.url, "data:", "blob:")):
            visit.errors.append(f"a request to {request.url}")

    page.on("request", foreign)
    page.on("pageerror", lambda error: visit.errors.append(str(error)))
    page.on("console", lambda said: visit.errors.append(said.text) if said.type in ("error", "warning") else None)
    try:
        yield visit
        visit.fits()
        assert visit.errors == []
    finally:
        context.close()
