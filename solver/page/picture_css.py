"""The pictures' style sheet for the page, where no style may stand in a picture itself."""

from __future__ import annotations

from solver.export.picture.strands import STRANDS
from solver.export.picture.style import style_sheet


def picture_css() -> str:
    """The rules for all strands, held to where the page shows pictures."""
    return f".picture {{\n{style_sheet(list(STRANDS))}\n}}\n"
