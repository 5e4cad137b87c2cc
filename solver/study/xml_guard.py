"""MusicXML before it is trusted: bytes to text, with everything refused that could follow a link or never end.

expat walks over the file first. Entities are refused where they are declared, so none is ever expanded or followed
(a document type that only names the MusicXML DTD is not fetched by expat or by ElementTree). Numbers that would make
a reader build bars without end are refused, and so is anything that is not one score.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from pathlib import PurePosixPath
from xml.parsers import expat

from solver.study.errors import Unreadable
from solver.study.reference import MOST_NOTES

LARGEST_TEXT = 30_000_000  # bytes of MusicXML, once unpacked
DEEPEST = 60  # elements within each other
LONGEST_NUMBER = 7  # characters
# The largest value that an element may hold; the smallest is 0, or minus the same where the element may be negative.
LIMITS = {
    "divisions": 100_000,
    "duration": 1_000_000,
    "beats": 32,
    "beat-type": 64,
    "octave": 9,
    "alter": 3,
    "fifths": 7,
    "chromatic": 48,
    "diatonic": 28,
    "octave-change": 4,
    "staves": 16,
    "actual-notes": 64,
    "normal-notes": 64,
    "multiple-rest": 400,
    "measure-repeat": 32,
    "staff-lines": 16,
    "capo": 24,
}
ABOVE_ZERO = frozenset({"divisions", "beats", "beat-type", "actual-notes", "normal-notes"})
MAY_BE_EMPTY = frozenset({"measure-repeat"})  # where it ends
MOST_TIMES = 8  # that a repeat may be played
LONGEST_ENDING = 12  # characters of the list of passes that an ending is for
CONTAINER = "META-INF/container.xml"
_GIVE = "give a MusicXML file (score-partwise)"


class _Walk:
    """What is seen on the way through a file."""

    def __init__(self, parser: expat.XMLParserType) -> None:
        self.parser = parser
        self.stack: list[str] = []
        self.text = ""
        self.notes = 0
        self.rootfile: str | None = None
        self.root: str | None = None
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.data
        parser.EntityDeclHandler = self.entity
        parser.buffer_text = True

    def refuse(self, wrong: str, right: str) -> Unreadable:
        return Unreadable(wrong, right, self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1)

    def entity(self, name: str, *_: object) -> None:
        raise self.refuse(f'the file declares the entity "{name[:40]}"', "entities are not followed; take them out")

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self.root = self.root or name
        if self.stack and self.stack[-1] in LIMITS:  # its text would be read without what comes after this
            raise self.refuse(f"{self.stack[-1]} holds another element and not a number alone", _GIVE)
        self.stack.append(name)
        self.text = ""
        if len(self.stack) > DEEPEST:
            raise self.refuse(f"elements lie more than {DEEPEST} deep", _GIVE)
        if name == "note":
            self.notes += 1
            if self.notes > MOST_NOTES:
                raise self.refuse(f"the file has more than {MOST_NOTES} notes", "give a loop or a song, not a work")
        elif name == "repeat":
            self.check("times", attributes.get("times", "2"), MOST_TIMES, above_zero=False)
        elif name == "ending" and len(attributes.get("number", "")) > LONGEST_ENDING:
            raise self.refuse("an ending is for too many passes", _GIVE)
        elif name == "rootfile" and self.rootfile is None:
            self.rootfile = attributes.get("full-path")

    def data(self, text: str) -> None:
        self.text = (self.text + text)[: 4 * LONGEST_NUMBER]

    def end(self, name: str) -> None:
        self.stack.pop()
        text = self.text.strip()
        if name in LIMITS and (text or name not in MAY_BE_EMPTY):
            self.check(name, text, LIMITS[name], name in ABOVE_ZERO)

    def check(self, name: str, text: str, limit: int, above_zero: bool) -> None:
        for term in text.split("+") if name == "beats" else [text]:
            try:
                value = float(term) if len(term) <= LONGEST_NUMBER else float("inf")
            except ValueError:
                value = float("nan")
            if not abs(value) <= limit or (above_zero and value <= 0):
                raise self.refuse(f'"{text[:20]}" is no {name} that music has', f"use a number up to {limit}")


def musicxml_text(data: bytes) -> str:
    """The text of one MusicXML score in bytes, plain or packed (.mxl), once it is safe to read. Raises Unreadable."""
    if data[:2] == b"PK":
        data = _unpacked(data)
    walk = _walked(data)
    if walk.root != "score-partwise":
        shown = (walk.root or "nothing")[:40]
        raise Unreadable(f"the file holds {shown}, not score-partwise", "save it as MusicXML, partwise")
    return _decoded(data)


def _walked(data: bytes) -> _Walk:
    if len(data) > LARGEST_TEXT:
        raise Unreadable(f"the score is larger than {LARGEST_TEXT // 1_000_000} MB", "give a loop or a song")
    parser = expat.ParserCreate()
    walk = _Walk(parser)
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        why = expat.ErrorString(error.code)
        raise Unreadable(f"this is not sound XML ({why})", _GIVE, error.lineno, error.offset + 1) from error
    except (LookupError, ValueError) as error:  # an encoding that Python does not know
        raise Unreadable("the file's encoding is not known", "save it in UTF-8") from error
    return walk


def _decoded(data: bytes) -> str:
    """The text without its declaration: the encodings in use are UTF-8 and UTF-16."""
    for mark, encoding in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"", "utf-8-sig")):
        if data.startswith(mark):
            try:
                text = data.decode(encoding)
            except UnicodeDecodeError as error:
                raise Unreadable("the file is not text in UTF-8 or UTF-16", "save it in UTF-8") from error
            return text[text.index("?>") + 2 :].lstrip() if text.startswith("<?xml") else text
    raise Unreadable("the file is not text", _GIVE)


def _unpacked(data: bytes) -> bytes:
    """The score in a packed file: the one its container names, else the first that looks like one."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = archive.namelist()
            named = _walked(_member(archive, CONTAINER)).rootfile if CONTAINER in names else None
            scores = [name for name in names if PurePosixPath(name).suffix in (".xml", ".musicxml")]
            chosen = named if named in names else next((name for name in scores if name != CONTAINER), None)
            if chosen is None:
                raise Unreadable("the packed file holds no score", "give a MusicXML file (.mxl or .musicxml)")
            return _member(archive, chosen)
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, zlib.error, EOFError, OSError, ValueError) as error:
        raise Unreadable("the packed file is broken", "save it again, or give it unpacked (.musicxml)") from error


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as file:
        data = file.read(LARGEST_TEXT + 1)
    if len(data) > LARGEST_TEXT:
        raise Unreadable(f"the score is larger than {LARGEST_TEXT // 1_000_000} MB once unpacked", "give a loop")
    return data
