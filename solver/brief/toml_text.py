"""Reading TOML: values from a text, and what is wrong with a text that is not TOML, in plain words."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from solver.brief.errors import BriefError, BriefErrors

LONGEST_LINE = 2000  # characters, remarks aside; the library needs time in the square of a line's length
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_KEY_LINE = "write lines such as bars = 8, and # before a remark"
_CLOSE_TEXT = 'close the text with a quotation mark on the same line, as in key = "B minor"'
# A piece of the library's message, what is wrong, what would be right. The first piece found counts.
_MEANINGS = (
    ("Cannot overwrite", "this key has a value already", "give each key once"),
    ("Duplicate inline", "a key stands twice in a table in braces", "give each key once"),
    ("Cannot", "this table was opened before", "open each table once, with all its keys below it"),
    ("Expected '='", "a key without a value", _KEY_LINE),
    ("Invalid statement", "this is no key", _KEY_LINE),
    ("key part", "this is no key", _KEY_LINE),
    ("Expected newline", "something follows the value", "write one key a line, and # before a remark"),
    ("Invalid value", "this is no value", 'put text into quotes, as in key = "B minor"'),
    ("Invalid date", "there is no such date", "a brief has no dates: put text into quotes"),
    ("Unclosed array", "a list is not closed", "put commas between its entries and ] at its end"),
    ("Unclosed inline", "a table in braces is not closed", "put commas between its keys and } at its end, on one line"),
    ("Unterminated", "the text is not closed", _CLOSE_TEXT),
    (r"Illegal character '\n'", "the text is not closed", _CLOSE_TEXT),
    ("character '", "a character that cannot stand here", "remove it"),
    ("at the end of a", "the header of a table is not closed", "write it as [parts.lead] on a line of its own"),
    ("Expected", "the text is not closed", _CLOSE_TEXT),
    ("Unescaped", "a single \\ in a text", r"write \\ for a backslash"),
    ("hex value", "a \\ without its number in a text", r"write \\ for a backslash"),
    ("Escaped", "a \\ with a number that is no character", r"write \\ for a backslash"),
)


def parse_toml(text: str, path: Path) -> dict[str, Any]:
    """The values of a text. Raises BriefErrors where it is not TOML; ``path`` is what the error calls the file."""
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE and not line.lstrip().startswith("#"):
            raise _error(path, f"the line has {len(line)} characters", f"use at most {LONGEST_LINE}", (number, 1))
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), text, path) from None
    except RecursionError:
        raise _error(path, "lists stand in lists too deeply", "write plain lists of values") from None
    except ValueError:  # a number of thousands of digits, which Python does not read
        raise _error(path, "a number has far too many digits", "use smaller numbers") from None


def _syntax_error(message: str, text: str, path: Path) -> BriefErrors:
    match = _PLACE.search(message)
    lines = text.split("\n")
    where = (int(match[1]), int(match[2])) if match and match[1] else (len(lines), len(lines[-1]) + 1)
    for piece, wrong, right in _MEANINGS:
        if piece in message:
            if piece == "Cannot overwrite" and "=" in (line := lines[where[0] - 1]):  # it is told where its value ends
                where = (where[0], len(line) - len(line.lstrip()) + 1)
            return _error(path, f"not valid TOML: {wrong}", right, where)
    return _error(path, f"not valid TOML: {_PLACE.sub('', message)}", "write keys and values as TOML has them", where)


def _error(path: Path, wrong: str, right: str, where: tuple[int, int] | None = None) -> BriefErrors:
    line, column = where or (None, None)
    return BriefErrors([BriefError(str(path), line, column, wrong, right)])
