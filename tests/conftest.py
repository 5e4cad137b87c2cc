"""Tests that need more than pip gives: left out with the reason, except where CI is set, where that is a failure."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from solver.export.sound.sampled import missing as missing_samples
from solver.study.audio.extra import missing as missing_audio

# No test trusts a timing: hypothesis' own deadline would fail on a busy machine.
settings.register_profile("sennit", deadline=None)
settings.load_profile("sennit")

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


def browser() -> str | None:
    """The Chromium of this machine."""
    return next((path for name in BROWSERS if (path := shutil.which(name))), None)


def _missing_browser() -> str:
    return "" if browser() else "no Chromium on this machine"


def _missing_dictionary() -> str:
    named = os.environ.get("SENNIT_CHORDS_DB", "")
    if named and Path(named).is_file():
        return ""
    return "SENNIT_CHORDS_DB does not name guitar.json of npm's @tombatossals/chords-db"


def _missing_axe() -> str:
    named = os.environ.get("SENNIT_AXE", "")
    return "" if named and Path(named).is_file() else "SENNIT_AXE does not name axe.min.js of npm's axe-core"


def _missing_minizinc() -> str:
    return "" if shutil.which("minizinc") else "no MiniZinc on this machine"


# What each marker stands for: a function that says what is missing, "" where nothing is.
NEEDS: dict[str, Callable[[], str]] = {
    "browser": _missing_browser,
    "sampled": missing_samples,
    "chorddict": _missing_dictionary,
    "audio": missing_audio,
    "axe": _missing_axe,
    "minizinc": _missing_minizinc,
}


def needs(marker: str) -> None:
    """Leave the running test out where what its marker stands for is missing; in CI, fail it."""
    reason = NEEDS[marker]()
    if reason and os.environ.get("CI") == "true":
        pytest.fail(f"CI must have what the marker {marker} stands for: {reason}", pytrace=False)
    if reason:
        pytest.skip(reason)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Before a test's own conditions: what its markers need."""
    for marker in NEEDS:
        if item.get_closest_marker(marker):
            needs(marker)


@pytest.fixture(autouse=True)
def _model_strings(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests hear model strings, whatever fonts the machine has, unless they are about samples."""
    if not request.node.get_closest_marker("sampled"):
        monkeypatch.setenv("SENNIT_SOUNDFONT", "")
