"""What parts may be called: the names become file names, track names and words in the expressions that lock notes."""

from __future__ import annotations

import re
from collections.abc import Collection

from solver.brief.findings import Findings
from solver.brief.places import KeyPath

MAX_PARTS = 6
LONGEST_NAME = 40
_NAME = re.compile(r"[A-Za-z0-9_-](?:[A-Za-z0-9 _-]*[A-Za-z0-9_-])?")
_RESERVED = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]", re.IGNORECASE)  # no file may be called so on Windows


def check_names(names: Collection[str], findings: Findings) -> None:
    """Report names that cannot be used, two that some file systems would take for one, and too few or many parts."""
    path: KeyPath = ("parts",)
    if not names:
        findings.report(path, "the brief has no part", 'add a table such as [parts.lead] and below it role = "lead"')
    if len(names) > MAX_PARTS:
        findings.report(path, f"the brief has {len(names)} parts", f"use at most {MAX_PARTS}")
    seen: dict[str, str] = {}
    for name in names:
        if len(name) > LONGEST_NAME or not _NAME.fullmatch(name) or _RESERVED.fullmatch(name):
            wrong = f'"{name[:LONGEST_NAME]}" cannot name a part'
            right = (
                f"use up to {LONGEST_NAME} letters (A to Z), digits, spaces, - and _, and no name that systems reserve"
            )
            findings.report((*path, name), wrong, right, at_key=True)
        elif name.casefold() in seen:
            wrong = f'the parts "{seen[name.casefold()]}" and "{name}" differ in capitals only'
            findings.report((*path, name), wrong, "give one of them another name", at_key=True)
        seen.setdefault(name.casefold(), name)
