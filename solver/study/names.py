"""Names for parts: the tracks' own where they can name a part of a brief, else the role."""

from __future__ import annotations

import re
import unicodedata

from solver.brief.part_names import LONGEST_NAME

_RESERVED = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]", re.IGNORECASE)


def plain_name(given: str) -> str:
    """A track's name in the letters that a part's name may have; "" where nothing of it is left."""
    letters = unicodedata.normalize("NFKD", given).encode("ascii", "ignore").decode("ascii")
    words = re.sub(r"[^A-Za-z0-9_-]+", " ", letters).split()
    name = " ".join(words)[:LONGEST_NAME].strip()
    return "" if _RESERVED.fullmatch(name) else name


def distinct(names: list[str]) -> list[str]:
    """The names with numbers where they would be equal but for capitals."""
    taken: set[str] = set()
    found = []
    for name in names:
        number, candidate = 1, name
        while candidate.casefold() in taken:
            number += 1
            tail = f" {number}"
            candidate = name[: LONGEST_NAME - len(tail)].rstrip() + tail
        taken.add(candidate.casefold())
        found.append(candidate)
    return found
