"""What a missing need does: outside CI a test is left out, in CI it fails."""

from __future__ import annotations

import pytest

from tests import conftest


def test_a_missing_need_skips_outside_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(conftest.NEEDS, "browser", lambda: "no browser here")
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="no browser here"):
        conftest.needs("browser")


def test_a_missing_need_fails_in_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(conftest.NEEDS, "browser", lambda: "no browser here")
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="no browser here"):
        conftest.needs("browser")


@pytest.mark.parametrize("ci", ["true", ""])
def test_what_is_there_is_no_reason(monkeypatch: pytest.MonkeyPatch, ci: str) -> None:
    monkeypatch.setitem(conftest.NEEDS, "browser", lambda: "")
    monkeypatch.setenv("CI", ci)
    conftest.needs("browser")
