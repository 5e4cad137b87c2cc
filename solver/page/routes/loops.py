"""Takes and their arrangements: the family of a brief's takes, single arrangements, their sound, one's own remarks."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from solver.page.refusal import Refusal, missing
from solver.page.routes.requests import json_body, number_in_path, tempo_of

WAV = "audio/wav"
KEEP = "private, max-age=600"


def takes(request: Request) -> Response:
    """All takes of a brief."""
    from solver.page.warming import VIEWS
    from solver.takes.remarks import FILE

    page, brief = request.app.state.page, request.path_params["brief"]
    if any(page.workspace.takes(brief).glob(f"take-*/{FILE}")):
        page.warming.ensure(VIEWS)  # remarks are read by the same modules
    return JSONResponse({"takes": page.shelf.rows(brief)})


def take(request: Request) -> Response:
    """What all arrangements of a take or a running job share, and each one's total, proof and summary."""
    from solver.page.versions import version_of
    from solver.page.views import loop_of

    loops = request.app.state.page.shelf.loops(request.path_params["brief"], request.path_params["take"])
    arrangements = [
        {"number": number, "total": round(ranked.total, 1), "version": version_of(ranked.arrangement)}
        for number, ranked in enumerate(loops.arrangements, start=1)
    ]
    return JSONResponse({**loop_of(loops.plan), "arrangements": arrangements})


def view(request: Request) -> Response:
    """One arrangement, with everything to show it."""
    from solver.page.views import loop_of, view_of

    plan, ranked = request.app.state.page.shelf.loop(*_address(request))
    return JSONResponse({"loop": loop_of(plan), **view_of(plan, ranked)})


def stem(request: Request) -> Response:
    """One part of an arrangement as a WAV file, a loop at the tempo that is asked for."""
    page = request.app.state.page
    plan, ranked = page.shelf.loop(*_address(request))
    stems = page.sound.stems(plan, ranked.arrangement, tempo_of(request))
    part = request.path_params["part"]
    if part not in stems:
        raise missing(f"part {part[:40]!r}")
    return Response(stems[part], media_type=WAV, headers={"cache-control": KEEP})


def beat(request: Request) -> Response:
    """A plain beat as long as the loop, as a WAV file."""
    from solver.page.beat import CLAP, HALF, SNARE, STRAIGHT, beat_wav

    plan, _ = request.app.state.page.shelf.loop(*_address(request))
    style, hit = request.query_params.get("style", STRAIGHT), request.query_params.get("hit", SNARE)
    if style not in (STRAIGHT, HALF) or hit not in (SNARE, CLAP):
        raise Refusal(400, f"style is {STRAIGHT} or {HALF}, hit is {SNARE} or {CLAP}")
    wav = beat_wav(plan, tempo_of(request), style, hit)
    return Response(wav, media_type=WAV, headers={"cache-control": KEEP})


async def remark(request: Request) -> Response:
    """Set or take off a favourite mark, or write a note."""
    from solver.take import TakeError
    from solver.takes.remarks import Overtaken
    from solver.takes.remarks import remark as write

    data = await json_body(request)
    favourite, note, was = data.get("favourite"), data.get("note"), data.get("was")
    if not isinstance(favourite, bool | None) or not isinstance(note, str | None) or not isinstance(was, str | None):
        raise Refusal(400, "favourite is true or false, note and was are texts")
    page = request.app.state.page
    brief, name, number = _address(request)
    folder = page.workspace.take(brief, name)
    await run_in_threadpool(page.shelf.loop, brief, name, number)
    try:
        now = await run_in_threadpool(lambda: write(folder, number, favourite=favourite, note=note, was=was))
    except Overtaken as overtaken:
        raise Refusal(409, str(overtaken), note=overtaken.now.note) from None
    except (ValueError, TakeError) as error:
        raise Refusal(422, str(error)) from None
    return JSONResponse({"favourite": now.favourite, "note": now.note})


def _address(request: Request) -> tuple[str, str, int]:
    return request.path_params["brief"], request.path_params["take"], number_in_path(request)


_ONE = "/api/loops/{brief}/{take}/{number}"
ROUTES = [
    Route("/api/loops/{brief}", takes),
    Route("/api/loops/{brief}/{take}", take),
    Route(_ONE, view),
    Route(f"{_ONE}/remark", remark, methods=["PUT"]),
    Route(f"{_ONE}/beat.wav", beat),
    Route(f"{_ONE}/stems/{{part}}.wav", stem),
]
