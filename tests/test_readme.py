"""What the README says of commands, libraries and files is so."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from solver.cli import sennit

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LICENCES = README.split("## Licence")[1]
REQUIRED = [*PROJECT["dependencies"], *(name for extra in PROJECT["optional-dependencies"].values() for name in extra)]


@pytest.mark.parametrize("command", sennit.commands)
def test_every_command_has_its_row(command: str) -> None:
    assert f"| `sennit {command} " in README


@pytest.mark.parametrize("option", ["--out", "--count", "--seed", "--time", "--json"])
def test_every_option_of_arrange_is_told(option: str) -> None:
    assert option in [name for parameter in sennit.commands["arrange"].params for name in parameter.opts]
    assert f"`{option}" in README


@pytest.mark.parametrize("library", sorted({re.split(r"[<>=~ ]", required)[0] for required in REQUIRED}))
def test_the_terms_of_every_library_are_told(library: str) -> None:
    assert re.search(rf"\b{re.escape(library)}\b", LICENCES)


def test_the_two_commands_come_first() -> None:
    first, second, *_ = (line.strip() for line in README.splitlines() if line.startswith("    "))
    assert first.endswith("pip install -e '.[test]' && .venv/bin/sennit arrange briefs/ferry-lights.toml")
    assert second == ".venv/bin/pytest"


@pytest.mark.parametrize("link", re.findall(r"\]\(([^)#]+)\)", README))
def test_what_it_links_to_is_there(link: str) -> None:
    assert (ROOT / link).is_file()
