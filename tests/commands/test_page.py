"""``sennit page``: its port, and what it says where it cannot have it."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from solver.cli import run
from solver.commands.ending import WRONG
from solver.page import server
from solver.page.server import ADDRESS, PortTaken, listening


def test_it_listens_on_this_machine_alone() -> None:
    with listening(0) as opened:
        assert opened.getsockname()[0] == "127.0.0.1"


def test_a_port_that_is_taken_is_one_clear_line(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as other:
        other.bind((ADDRESS, 0))
        other.listen()
        port = other.getsockname()[1]
        assert run(["page", "--no-browser", "--port", str(port)]) == WRONG
        said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith(f"--port {port}: the port cannot be used (")
    with socket.socket() as other:
        other.bind((ADDRESS, 0))
        other.listen()
        with pytest.raises(PortTaken):
            listening(other.getsockname()[1])


def test_without_a_port_another_one_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as other:
        other.bind((ADDRESS, 0))
        other.listen()
        monkeypatch.setattr(server, "USUAL_PORT", other.getsockname()[1])
        with listening(None) as opened:
            assert opened.getsockname()[1] != other.getsockname()[1]


@pytest.mark.parametrize("port", ["0", "65536", "x"])
def test_a_port_is_a_number_that_ports_have(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["page", "--port", port]) == WRONG
    assert "--port" in capsys.readouterr().err


def test_ctrl_c_ends_it_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def interrupted(root: Path, opened: socket.socket, tell: object, *, browser: bool) -> None:
        assert (root, browser) == (tmp_path, False)
        opened.close()
        raise KeyboardInterrupt

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(server, "serve", interrupted)
    assert run(["page", "--no-browser"]) == 0
    assert capsys.readouterr().err == "ended\n"
