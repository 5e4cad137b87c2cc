"""Files to take away: MIDI whole or of one part, the loop as WAV, the picture, everything as one ZIP file."""

from __future__ import annotations

import tempfile
from pathlib import Path
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from solver.page.refusal import Refusal, missing
from solver.page.routes.requests import number_in_path

MIDI, WAV, SVG, ZIP = "audio/midi", "audio/wav", "image/svg+xml", "application/zip"


def midi(request: Request) -> Response:
    """The arrangement as a MIDI file, or one part of it; on the grid unless the brief says how it is played."""
    from solver.brief.feel import GRID
    from solver.export.midi import midi_bytes
    from solver.export.names import base_name

    plan, ranked = request.app.state.page.shelf.loop(*_address(request))
    part = request.query_params.get("part")
    if part is not None and part not in {each.name for each in plan.parts}:
        raise missing(f"part {part[:40]!r}")
    feel = plan.feel if plan.feel.asked else GRID
    data = midi_bytes(plan, ranked.arrangement, feel, only=part)
    return _file(data, MIDI, f"{base_name(plan)}{f' - {part}' if part else ''}.mid")


def audio(request: Request) -> Response:
    """The loop as a WAV file: the sum of the stems; with the beat only where that is asked for."""
    from solver.export.names import base_name
    from solver.page.mixing import mixed

    page = request.app.state.page
    plan, ranked = page.shelf.loop(*_address(request))
    stems = list(page.sound.stems(plan, ranked.arrangement).values())
    style = request.query_params.get("beat")
    if style is not None:
        from solver.page.beat import CLAP, HALF, SNARE, STRAIGHT, beat_wav

        hit = request.query_params.get("hit", SNARE)
        if style not in (STRAIGHT, HALF) or hit not in (SNARE, CLAP):
            raise Refusal(400, f"beat is {STRAIGHT} or {HALF}, hit is {SNARE} or {CLAP}")
        stems.append(beat_wav(plan, None, style, hit))
    return _file(mixed(stems), WAV, f"{base_name(plan)}{' - with beat' if style else ''}.wav")


def picture(request: Request) -> Response:
    """The picture as SVG."""
    from solver.export.names import base_name
    from solver.export.picture import picture_svg

    plan, ranked = request.app.state.page.shelf.loop(*_address(request))
    return _file(picture_svg(plan, ranked.arrangement).encode(), SVG, f"{base_name(plan)}.svg")


def everything(request: Request) -> Response:
    """The hand-over of an arrangement of a take as one ZIP file."""
    from solver.export.folder import Order, hand_over
    from solver.take import read_take

    page = request.app.state.page
    brief, name, number = _address(request)
    plan, _ = page.shelf.loop(brief, name, number)
    take = read_take(page.workspace.take(brief, name))
    with tempfile.TemporaryDirectory(prefix="sennit-") as folder:
        made = hand_over(plan, take, number, Path(folder), Order(zipped=True))
        return _file(made.path.read_bytes(), ZIP, made.path.name)


def _address(request: Request) -> tuple[str, str, int]:
    return request.path_params["brief"], request.path_params["take"], number_in_path(request)


def _file(data: bytes, kind: str, name: str) -> Response:
    """A download under a name that every browser reads (RFC 6266)."""
    headers = {"content-disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}"}
    return Response(data, media_type=kind, headers=headers)


_ONE = "/api/loops/{brief}/{take}/{number}/export"
ROUTES = [
    Route(f"{_ONE}/loop.mid", midi),
    Route(f"{_ONE}/loop.wav", audio),
    Route(f"{_ONE}/picture.svg", picture),
    Route(f"{_ONE}/everything.zip", everything),
]
