"""Names in requests as paths of the workspace. Nothing outside the workspace can be named."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from solver.page.refusal import Refusal, missing
from solver.workspace import BRIEFS, OUT

LONGEST_NAME = 120
ENDING = ".toml"
MIDI = "midi"  # the folder in that of the briefs where files from elsewhere are kept
_TAKE = re.compile(r"take-[0-9]{3,9}")
_BAD = re.compile(r"[/\\:\x00-\x1f]|^\.|^\s|\s$|\.$|^$")


@dataclass(frozen=True)
class Workspace:
    """A workspace by its resolved folder."""

    root: Path

    def brief(self, name: str) -> Path:
        """The file of a brief, there or not. Raises Refusal for a name that cannot be one, or leads outside."""
        return self._inside(self.root / BRIEFS / f"{_plain(name)}{ENDING}")

    def takes(self, brief: str) -> Path:
        """The folder of a brief's takes, there or not. Raises Refusal likewise."""
        return self._inside(self.root / OUT / _plain(brief))

    def take(self, brief: str, name: str) -> Path:
        """The folder of a take. Raises Refusal where it is not there."""
        if not _TAKE.fullmatch(name):
            raise missing(f"take {name[:LONGEST_NAME]!r}")
        folder = self._inside(self.takes(brief) / name)
        if not folder.is_dir():
            raise missing(f"{name} of {brief}")
        return folder

    def midi(self, name: str) -> Path:
        """A MIDI file that is kept beside the briefs, there or not. Raises Refusal likewise."""
        return self._inside(self.root / BRIEFS / MIDI / f"{_plain(name)}.mid")

    def briefs(self) -> list[str]:
        """The names of all briefs, in order."""
        return sorted(path.name.removesuffix(ENDING) for path in self._listed(self.root / BRIEFS, f"*{ENDING}"))

    def with_takes(self) -> list[str]:
        """The names under which takes are kept."""
        return sorted(path.name for path in self._listed(self.root / OUT, "*") if path.is_dir())

    def _listed(self, folder: Path, pattern: str) -> list[Path]:
        if not folder.is_dir():
            return []
        return [
            path
            for path in folder.glob(pattern)
            if not _BAD.search(path.name)
            and len(path.name) <= LONGEST_NAME
            and path.resolve().is_relative_to(self.root)
        ]

    def _inside(self, path: Path) -> Path:
        if not path.resolve().is_relative_to(self.root):
            raise Refusal(403, "that lies outside the workspace")
        return path


def _plain(name: str) -> str:
    if len(name) > LONGEST_NAME - len(ENDING) or _BAD.search(name):
        raise Refusal(400, f'"{name[:40]}" cannot name a brief; use letters, digits, spaces, - and _')
    return name
