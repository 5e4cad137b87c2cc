"""Briefs: the list, the form, checking while one types, saving, and a first brief from a MIDI file."""

from __future__ import annotations

import tempfile
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from solver.page.refusal import Refusal
from solver.page.routes.requests import json_body, text_of


def listed(request: Request) -> Response:
    """All briefs of the workspace."""
    from solver.page.brief_files import listing

    workspace = request.app.state.page.workspace
    return JSONResponse({"folder": workspace.root.name, "briefs": listing(workspace)})


def fields(request: Request) -> Response:
    """The form's fields."""
    from solver.page.fields import form_fields

    return JSONResponse(form_fields())


def read(request: Request) -> Response:
    """One brief for the form."""
    from solver.page.brief_files import read

    return JSONResponse(read(request.app.state.page.workspace, request.path_params["brief"]))


async def judge(request: Request) -> Response:
    """A text with changes made to it: the new text, its values and what is wrong with it."""
    from solver.page.brief_files import judged
    from solver.page.editing import changed, changes_from

    data = await json_body(request)
    text = text_of(data, "text")
    path = request.app.state.page.workspace.brief(request.path_params["brief"])
    changes = changes_from(data.get("changes", []))
    made = await run_in_threadpool(changed, text, changes) if changes else text
    return JSONResponse(await run_in_threadpool(judged, made, path))


async def save(request: Request) -> Response:
    """Write a brief, new or changed."""
    from solver.page.brief_files import save

    data = await json_body(request)
    version = data.get("version")
    if version is not None and not isinstance(version, str):
        raise Refusal(400, "version is a text or null")
    workspace, name = request.app.state.page.workspace, request.path_params["brief"]
    return JSONResponse({"version": await run_in_threadpool(save, workspace, name, text_of(data, "text"), version)})


async def study(request: Request) -> Response:
    """A MIDI file as a brief for something of its kind; nothing of the file is kept."""
    data = await request.body()
    name = request.query_params.get("name", "reference")[:80]
    return JSONResponse(await run_in_threadpool(_studied, data, name))


async def midi(request: Request) -> Response:
    """Keep a MIDI file in the workspace, for a brief to name."""
    from solver.page.midi_files import keep

    data = await request.body()
    workspace, name = request.app.state.page.workspace, request.query_params.get("name", "")[:80]
    return JSONResponse({"path": await run_in_threadpool(keep, workspace, data, name)}, 201)


def _studied(data: bytes, name: str) -> dict[str, str]:
    from solver.page.midi_files import MARK, name_of
    from solver.study.brief_text import NoBrief, brief_text
    from solver.study.errors import StudyError
    from solver.study.study import study as study_file

    if not data.startswith(MARK):
        raise Refusal(422, "this is no MIDI file; choose one that ends in .mid")
    stem = name_of(name)
    with tempfile.TemporaryDirectory(prefix="sennit-") as folder:
        path = Path(folder) / f"{stem}.mid"
        path.write_bytes(data)
        try:
            return {"name": stem, "text": brief_text(study_file(path))}
        except StudyError as error:
            raise Refusal(422, str(error).replace(f"{path}: ", "")) from None
        except NoBrief as reason:
            raise Refusal(422, f"no brief can be written: {reason}") from None


ROUTES = [
    Route("/api/briefs", listed),
    Route("/api/fields", fields),
    Route("/api/study", study, methods=["POST"]),
    Route("/api/midi", midi, methods=["POST"]),
    Route("/api/briefs/{brief}", read),
    Route("/api/briefs/{brief}", save, methods=["PUT"]),
    Route("/api/briefs/{brief}/judge", judge, methods=["POST"]),
]
