"""What stands before every request: only this machine's own page may ask, and nothing large comes in.

A page of another site can make a browser send requests here, or give its own name this machine's address. So the
Host header must name this server, an Origin header must be this server's, and whatever changes something must carry
the token that only the page itself was given.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 5_000_000  # bytes
TOKEN_HEADER = "x-sennit-token"
READING = frozenset({"GET", "HEAD"})
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "form-action 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
}


def own_hosts(port: int) -> frozenset[str]:
    """The Host headers under which a server on this port may be asked."""
    return frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})


class TooLarge(Exception):
    """A request's body is larger than LARGEST_BODY."""


class Guard:
    """ASGI middleware that refuses what does not come from the page itself, and adds the headers that protect it."""

    def __init__(self, app: ASGIApp, *, hosts: Iterable[str], token: str) -> None:
        self._app = app
        self._hosts = frozenset(hosts)
        self._origins = frozenset(f"http://{host}" for host in self._hosts)
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or answer it with a refusal."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = Headers(scope=scope)
        started = False

        async def sending(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                added = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    added[name] = value
                if "cache-control" not in added:
                    added["cache-control"] = "no-store"
            await send(message)

        refusal = self._refusal(scope["method"], headers)
        if refusal:
            await refusal(scope, receive, sending)
            return
        try:
            await self._app(scope, _limited(receive), sending)
        except TooLarge:
            if started:
                raise
            await _refuse(413, _size_words())(scope, receive, sending)

    def _refusal(self, method: str, headers: Headers) -> JSONResponse | None:
        if headers.get("host", "") not in self._hosts:
            return _refuse(403, "this server answers only under its own address on this machine")
        origin = headers.get("origin")
        if origin is not None and origin not in self._origins:
            return _refuse(403, "another site's page may not ask here")
        if headers.get("sec-fetch-site") == "cross-site" and headers.get("sec-fetch-mode") != "navigate":
            return _refuse(403, "another site's page may not ask here")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > LARGEST_BODY:
            return _refuse(413, _size_words())
        if method not in READING and not secrets.compare_digest(
            headers.get(TOKEN_HEADER, "").encode("latin-1", "replace"), self._token.encode()
        ):
            return _refuse(403, "the page is older than the server; reload it")
        return None


def _limited(receive: Receive) -> Receive:
    """Receive, but not more than the limit: a length may be left out or lied about."""
    taken = 0

    async def receiving() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_BODY:
            raise TooLarge
        return message

    return receiving


def _refuse(status: int, words: str) -> JSONResponse:
    return JSONResponse({"message": words}, status)


def _size_words() -> str:
    return f"that is more than {LARGEST_BODY // 1_000_000} MB; send less"
