"""Titles of briefs that name none."""

from __future__ import annotations

import re


def title_from(name: str) -> str:
    """A title made of a file's name: ``ferry-lights`` is ``Ferry lights``."""
    words = " ".join(re.split(r"[\s_-]+", name)).strip()
    return words[:1].upper() + words[1:] or "Untitled"
