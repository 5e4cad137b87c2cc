"""The server's port, and what its log leaves out."""

from __future__ import annotations

import asyncio
import logging

import pytest

from solver.page.server import ADDRESS, PortTaken, _is_error, listening


def test_it_listens_to_this_machine_alone_and_says_when_a_port_is_taken() -> None:
    with listening(0) as one:
        one.listen()
        assert one.getsockname()[0] == ADDRESS
        with pytest.raises(PortTaken):
            listening(one.getsockname()[1])


@pytest.mark.parametrize(("error", "told"), [(ValueError(), True), (asyncio.CancelledError(), False), (None, True)])
def test_what_the_end_of_the_server_cut_short_is_no_error(error: BaseException | None, told: bool) -> None:
    found = (type(error), error, None) if error else None
    record = logging.LogRecord("uvicorn.error", logging.ERROR, "", 0, "Exception in ASGI application", (), found)
    assert _is_error(record) is told
