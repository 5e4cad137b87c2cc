"""What checks find in a brief, and which later findings to hold back because they rest on a value that is wrong."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from solver.brief.places import KeyPath

DEPTHS = {"parts": 3, "prefer": 2}  # of tables whose keys are told apart


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong with the value (or, ``at_key``, with the key) at a key path."""

    path: KeyPath
    wrong: str
    right: str
    at_key: bool = False

    @property
    def field(self) -> KeyPath:
        """The path of the brief's key in which the finding lies: ``("chords",)`` for ``("chords", 2)``.

        Each merit of ``prefer`` is a key of its own, as each key of a part is.
        """
        return self.path[: DEPTHS.get(str(self.path[0]), 1)] if self.path else ()


class Findings:
    """Findings as they gather. Checks go on over stand-ins for wrong values; what rests on one is not reported."""

    def __init__(self, found: Iterable[Finding] = ()) -> None:
        self.found: list[Finding] = list(found)
        self._broken: set[KeyPath] = {finding.field for finding in self.found}

    def report(
        self, path: KeyPath, wrong: str, right: str, *, reads: Iterable[KeyPath] = (), at_key: bool = False
    ) -> None:
        """Add a finding about the value at ``path`` unless that value, or one of ``reads``, is known to be wrong."""
        if not any(self._is_broken(read) for read in (path, *reads)):
            finding = Finding(path, wrong, right, at_key)
            self.found.append(finding)
            self._broken.add(finding.field)

    def _is_broken(self, path: KeyPath) -> bool:
        return any(path[:size] in self._broken for size in range(1, len(path) + 1))
