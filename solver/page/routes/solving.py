"""Solving: begin a job, stop it, and hear of every change as it comes."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from solver.page.orders import Order
from solver.page.refusal import Refusal, missing
from solver.page.routes.requests import json_body, number_of, text_of

MOST, LARGEST_SEED = 100, 2**31 - 1
MOST_LOCKS = 200
KINDS = ("rest", "like", "unlike")
STILL_THERE = 15.0  # seconds after which a silent stream says so
REPLACE, QUEUE = "replace", "queue"


def listed(request: Request) -> Response:
    """All jobs."""
    return JSONResponse({"jobs": request.app.state.page.jobs.data()})


async def begin(request: Request) -> Response:
    """A new job. Where another one runs and nobody has said which comes first, nothing begins and those are named."""
    page = request.app.state.page
    data = await json_body(request)
    order = _order(data)
    if not page.workspace.brief(order.brief).is_file():
        raise missing(f"brief {order.brief}")
    then = data.get("then")
    running = page.jobs.running()
    if running and then not in (REPLACE, QUEUE):
        return JSONResponse({"running": [job.data() for job in running]})
    return JSONResponse(page.jobs.submit(order, replace=then == REPLACE).data(), 201)


def stop(request: Request) -> Response:
    """End a job with what it has found."""
    page = request.app.state.page
    page.jobs.stop(request.path_params["job"])
    return JSONResponse(page.jobs.job(request.path_params["job"]).data())


async def events(request: Request) -> Response:
    """Server-sent events: every job as it stands, then every change."""
    return StreamingResponse(_stream(request), media_type="text/event-stream")


async def _stream(request: Request) -> AsyncIterator[str]:
    jobs = request.app.state.page.jobs
    changes = jobs.events()
    # Listening begins before the state is read, so that no change falls between the two.
    coming = asyncio.ensure_future(anext(changes, None))
    await asyncio.sleep(0)
    for job in jobs.data():
        yield _event(job)
    yield "event: ready\ndata: {}\n\n"
    request.app.state.page.warming.begin()  # the page listens once its first view is shown
    try:
        while True:
            done, _ = await asyncio.wait({coming}, timeout=STILL_THERE)
            if not done:
                yield ": still there\n\n"
                continue
            job = coming.result()
            if job is None:
                return
            yield _event(job)
            coming = asyncio.ensure_future(anext(changes, None))
    finally:
        coming.cancel()


def _event(job: dict) -> str:
    return f"data: {json.dumps(job, ensure_ascii=False)}\n\n"


def _order(data: dict) -> Order:
    kind = data.get("kind", KINDS[0])
    if kind not in KINDS:
        raise Refusal(400, f"kind is one of {', '.join(KINDS)}")
    parent, number = data.get("take"), number_of(data, "number", 1, MOST)
    if (parent is None) != (number is None) or not isinstance(parent, str | None):
        raise Refusal(400, "take and number name the arrangement that is reworked, both or neither")
    return Order(
        text_of(data, "brief"),
        number_of(data, "count", 1, MOST),
        number_of(data, "seed", 0, LARGEST_SEED),
        (parent, number) if parent is not None and number is not None else None,
        _texts(data, "locks"),
        _texts(data, "changes"),
        kind,
    )


def _texts(data: dict, key: str) -> tuple[str, ...]:
    texts = data.get(key, [])
    if not isinstance(texts, list) or len(texts) > MOST_LOCKS or not all(isinstance(text, str) for text in texts):
        raise Refusal(400, f"{key} are a list of texts")
    return tuple(texts)


ROUTES = [
    Route("/api/jobs", listed),
    Route("/api/jobs", begin, methods=["POST"]),
    Route("/api/jobs/{job}/stop", stop, methods=["POST"]),
    Route("/api/events", events),
]
