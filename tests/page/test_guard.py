"""Who may ask: the page itself, from this machine, with its token, and not with more than 5 MB."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from solver.page.guard import LARGEST_BODY, TOKEN_HEADER
from tests.page.served import HOST, PORT, TOKEN, client_of, workspace


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    return client_of(workspace(tmp_path, "one-rope"))


@pytest.mark.parametrize(
    "host", ["ferry.example", f"ferry.example:{PORT}", "127.0.0.1", "127.0.0.1:1", "", f"[::1]:{PORT}"]
)
def test_a_foreign_host_is_refused_whatever_it_asks(client: TestClient, host: str) -> None:
    for path in ("/", "/api/briefs", "/static/main.js"):
        assert client.get(path, headers={"host": host}).status_code == 403


def test_both_own_names_are_answered(client: TestClient) -> None:
    for host in (HOST, f"localhost:{PORT}"):
        assert client.get("/api/briefs", headers={"host": host, "origin": f"http://{host}"}).status_code == 200


@pytest.mark.parametrize("origin", ["http://ferry.example", f"https://{HOST}", "null", f"http://{HOST}.ferry.example"])
def test_a_foreign_origin_is_refused_even_with_the_token(client: TestClient, origin: str) -> None:
    assert client.get("/api/briefs", headers={"origin": origin}).status_code == 403
    assert client.put("/api/briefs/new", json={"text": ""}, headers={"origin": origin}).status_code == 403


def test_what_another_site_embeds_is_refused(client: TestClient) -> None:
    embedded = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    assert client.get("/api/briefs", headers=embedded).status_code == 403


@pytest.mark.parametrize("token", ["", "wrong", TOKEN[:-1], TOKEN + "x", "é"])
def test_nothing_changes_without_the_token(client: TestClient, token: str, tmp_path: Path) -> None:
    headers = {TOKEN_HEADER.encode(): token.encode("latin-1")}
    assert client.put("/api/briefs/new", json={"text": "bars = 1"}, headers=headers).status_code == 403
    assert client.post("/api/jobs", json={"brief": "one-rope"}, headers=headers).status_code == 403
    assert client.post("/api/study", content=b"MThd", headers=headers).status_code == 403
    assert not (tmp_path / "briefs" / "new.toml").exists()


def test_more_than_the_limit_is_refused_told_or_not(client: TestClient) -> None:
    assert client.post("/api/study", content=b"x" * (LARGEST_BODY + 1)).status_code == 413

    def pieces() -> Iterator[bytes]:
        for _ in range(6):
            yield b"x" * 1_000_000

    assert client.post("/api/study", content=pieces()).status_code == 413
    assert client.post("/api/study", content=b"x" * LARGEST_BODY).status_code == 422
    assert client.post("/api/study", content=b"", headers={"content-length": "-1"}).status_code == 413


def test_every_answer_carries_the_headers_that_protect_the_page(client: TestClient) -> None:
    for path in ("/", "/static/main.js", "/api/briefs", "/nothing", "/picture.css"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cross-origin-resource-policy"] == "same-origin"
    refused = client.get("/", headers={"host": "ferry.example"})
    assert "content-security-policy" in refused.headers
    assert "access-control-allow-origin" not in refused.headers


def test_the_page_has_the_token_and_neither_scripts_nor_styles_in_line(client: TestClient) -> None:
    page = client.get("/").text
    assert f'content="{TOKEN}"' in page
    assert "<style" not in page
    assert " style=" not in page
    assert page.count("<script") == page.count('src="/static/main.js"></script>') == 1
    assert "//" not in page.replace("<!doctype", "").replace("http://www.w3.org", "")
