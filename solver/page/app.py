"""The page's server application: its parts put together, every route, and what goes wrong as one sentence."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from solver.page.guard import Guard, own_hosts
from solver.page.jobs import Jobs
from solver.page.paths import Workspace
from solver.page.refusal import Refusal
from solver.page.routes import briefs, exports, loops, solving
from solver.page.sound import SoundCache
from solver.page.take_files import Shelf
from solver.page.warming import Warmed, Warming

STATIC = Path(__file__).parent / "static"
TOKEN_MARK = "{{ token }}"
PAUSES = (0.0, 1.0, 4.0, 15.0)  # seconds before each look for what was left unfinished


@dataclass(frozen=True)
class Page:
    """Everything that the routes share, in ``app.state.page``."""

    workspace: Workspace
    jobs: Jobs
    warming: Warming
    shelf: Shelf
    sound: SoundCache
    token: str


def page_app(root: Path, port: int, token: str) -> Starlette:
    """The application for a workspace, to be served on a port of 127.0.0.1."""
    workspace = Workspace(root.resolve())
    jobs = Jobs(workspace.root)
    warming = Warming(jobs)
    page = Page(workspace, jobs, warming, Shelf(workspace, jobs), SoundCache(), token)

    @contextlib.asynccontextmanager
    async def living(app: Starlette) -> AsyncIterator[None]:
        threading.Thread(target=_complete_all, args=(workspace,), daemon=True).start()
        yield
        jobs.close()
        warming.join()

    app = Starlette(
        routes=[
            Route("/", _index),
            Route("/picture.css", _picture_css),
            Mount("/static", StaticFiles(directory=STATIC)),
            *briefs.ROUTES,
            *solving.ROUTES,
            *loops.ROUTES,
            *exports.ROUTES,
        ],
        middleware=[Middleware(Guard, hosts=own_hosts(port), token=token), Middleware(Warmed, warming=warming)],
        exception_handlers={Refusal: _refused, 404: _not_found, 500: _broken},
        lifespan=living,
    )
    app.state.page = page
    return app


def _index(request: Request) -> Response:
    html = (STATIC / "index.html").read_text(encoding="utf-8")
    return HTMLResponse(html.replace(TOKEN_MARK, request.app.state.page.token))


def _picture_css(request: Request) -> Response:
    from solver.page.picture_css import picture_css

    return Response(picture_css(), media_type="text/css")


def _refused(request: Request, refusal: Exception) -> Response:
    assert isinstance(refusal, Refusal)
    return JSONResponse({"message": refusal.message, **refusal.facts}, refusal.status)


def _not_found(request: Request, error: Exception) -> Response:
    return JSONResponse({"message": "there is nothing under this address"}, 404)


def _broken(request: Request, error: Exception) -> Response:
    return JSONResponse({"message": "an error of this program; its words are in the terminal"}, 500)


def _complete_all(workspace: Workspace) -> None:
    """Make takes of what a killed server left, for every brief; its solving process may take a moment to be gone."""
    from solver.take import complete_unfinished

    for pause in PAUSES:
        time.sleep(pause)
        for name in workspace.with_takes():
            complete_unfinished(workspace.takes(name), print)
