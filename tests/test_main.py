"""The start of the program: Ctrl-C before any command listens is 130 and one line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# Ctrl-C at the import of a module, as a finder of modules sees it; in an exec, as a dataclass makes it, or not.
PRESSED = """
import signal, sys
from importlib.abc import MetaPathFinder

class Press(MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            # Where the tests run in the background of a shell, Ctrl-C is ignored from the start.
            signal.signal(signal.SIGINT, signal.default_int_handler)
            exec("signal.raise_signal(signal.SIGINT)") if {within} else signal.raise_signal(signal.SIGINT)

sys.meta_path.insert(0, Press())
from solver.__main__ import main
main()
"""


@pytest.mark.skipif(os.name != "posix", reason="sends signals")
@pytest.mark.parametrize("within", [False, True])
@pytest.mark.parametrize("module", ["solver.cli", "click", "solver.brief.reader"])
def test_ctrl_c_during_an_import(module: str, within: bool) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PRESSED.format(module=module, within=within), "check", "briefs/ferry-lights.toml"],
        capture_output=True,
        text=True,
        cwd=ROOT,
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "sennit: interrupted\n")


def test_nothing_is_imported_before_it_is_heard() -> None:
    script = "import sys; before = set(sys.modules); import solver.__main__; print(*set(sys.modules) - before)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    assert set(done.stdout.split()) == {"solver", "solver.__main__"}
