"""What routes read from requests, checked."""

from __future__ import annotations

import json
import math
from typing import Any

from starlette.requests import Request

from solver.page.refusal import Refusal, missing

SLOWEST, FASTEST = 30.0, 300.0  # quarter notes a minute, as in a brief


async def json_body(request: Request) -> dict[str, Any]:
    """The request's body as a JSON object. Raises Refusal where it is none."""
    try:
        data = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise Refusal(400, "the request's body is no JSON") from None
    if not isinstance(data, dict):
        raise Refusal(400, "the request's body is no JSON object")
    return data


def text_of(data: dict[str, Any], key: str) -> str:
    """A text in a body. Raises Refusal where it is missing or something else."""
    value = data.get(key)
    if not isinstance(value, str):
        raise Refusal(400, f"{key} is missing or no text")
    return value


def number_of(data: dict[str, Any], key: str, least: int, most: int) -> int | None:
    """A whole number in a body, None where it is left out. Raises Refusal for anything else."""
    value = data.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise Refusal(400, f"{key} is a whole number from {least} to {most}")
    return value


def number_in_path(request: Request) -> int:
    """The arrangement's number in the address. Raises Refusal for none."""
    text = request.path_params["number"]
    if not text.isdecimal() or len(text) > 6:
        raise missing(f"arrangement {text[:20]!r}")
    return int(text)


def tempo_of(request: Request) -> float | None:
    """The tempo that the address asks for, None for the brief's own. Raises Refusal."""
    text = request.query_params.get("tempo")
    if text is None:
        return None
    try:
        tempo = float(text)
    except ValueError:
        tempo = math.nan
    if not SLOWEST <= tempo <= FASTEST:
        raise Refusal(400, f"a tempo is from {SLOWEST:g} to {FASTEST:g}")
    return tempo
