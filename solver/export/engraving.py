"""The score engraved by verovio: SVG pages, and one page for a browser to read or to print as PDF."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, fromstring, tostring

TEMPLATES = Path(__file__).parent / "templates"
# Verovio lays text out with the widths of Times; these have the same ones, so that nothing overlaps.
FONTS = "Times, 'Times New Roman', 'Liberation Serif', Tinos, 'Nimbus Roman', FreeSerif, serif"
TIMES = 'font-family="Times, serif"'
SEED = 1  # of the ids that verovio makes up
PAGE = (2100, 2970)  # A4 in tenths of a millimetre
SIZE, SMALL = 0.75, 0.6  # of the music, against verovio's usual staff of 7.2 mm; with many parts
MANY = 4  # parts
OPTIONS: dict[str, Any] = {
    "pageMarginTop": 160,
    "pageMarginBottom": 160,
    "pageMarginLeft": 160,
    "pageMarginRight": 160,
    "scale": 40,
    "header": "auto",
    "footer": "none",
    "breaks": "smart",
    "breaksSmartSb": 0.45,
    "justifyVertically": False,
    "spacingStaff": 8,
    "spacingBraceGroup": 7,
    "spacingSystem": 6,
    "svgViewBox": True,
    "xmlIdSeed": SEED,
}
_ONE_AT_A_TIME = threading.Lock()  # verovio's generator of ids is the process's


def engrave(score: bytes) -> list[str]:
    """Pages of A4 as SVG texts, each complete by itself. Raises ValueError where verovio cannot read the score."""
    import verovio

    with _ONE_AT_A_TIME:
        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit()
        # Its default is the importing thread's alone; in another the fonts would be missing.
        toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
        root = fromstring(score)
        size = SMALL if len(root.findall("part")) >= MANY else SIZE
        width, height = (round(length / size) for length in PAGE)
        toolkit.setOptions({**OPTIONS, "pageWidth": width, "pageHeight": height})
        toolkit.resetXmlIdSeed(SEED)
        if not toolkit.loadData(_for_the_eye(root)):
            raise ValueError("verovio cannot read this score")
        pages = [toolkit.renderToSVG(page) for page in range(1, toolkit.getPageCount() + 1)]
    return [page.replace(TIMES, f'font-family="{FONTS}"') for page in pages]


def score_html(title: str, pages: list[str]) -> str:
    """One page with all pages of a score; printed, each fills a sheet of A4."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
    return environment.get_template("score.html").render(title=title, pages=pages)


def _for_the_eye(root: Element) -> str:
    """The score with rests in place of what its tablature does not show, around which verovio would leave holes, and
    without the hidden degrees of chord symbols, which it would write a second time behind the symbol."""
    for harmony in root.iter("harmony"):
        for degree in harmony.findall("degree[@print-object='no']"):
            harmony.remove(degree)
    for measure in root.iter("measure"):
        for note in [note for note in measure.findall("note") if note.get("print-object") == "no"]:
            if note.find("chord") is not None:
                measure.remove(note)
            elif note.find("pitch") is not None:
                _make_rest(note)
        for note in measure.iter("note"):
            if note.findtext("staff") == "2":
                _untie(note)
    return tostring(root, encoding="unicode")


def _make_rest(note: Element) -> None:
    """Turn a note into a rest of the same length."""
    at = list(note).index(note.find("pitch"))  # type: ignore[arg-type]
    note[at] = Element("rest")
    for tag in ("tie", "stem"):
        for child in note.findall(tag):
            note.remove(child)
    notations = note.find("notations")
    if notations is not None:
        for tag in ("tied", "technical"):
            for child in notations.findall(tag):
                notations.remove(child)


def _untie(note: Element) -> None:
    """Take away ties whose other end is not shown."""
    for child in note.findall("tie"):
        note.remove(child)
    notations = note.find("notations")
    for child in notations.findall("tied") if notations is not None else []:
        notations.remove(child)  # type: ignore[union-attr]
