"""The whole score as a MusicXML 4.0 document, its parts from high to low."""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element, indent, tostring

from solver import __version__
from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.export.midi import CHANNELS
from solver.export.score.measures import add_measures
from solver.export.score.xml import add

MOST_LETTERS = 12  # of a part's name that stands in full on every system; about the room of a clef and a key
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


def score_xml(plan: Plan, arrangement: Arrangement) -> bytes:
    """The arrangement as a MusicXML 4.0 file, in UTF-8."""
    score = Element("score-partwise", version="4.0")
    add(add(score, "work"), "work-title", plan.title)
    _add_origin(score)
    listed = add(score, "part-list")
    parts = plan.by_rank
    for number, part in enumerate(parts, start=1):
        _add_listing(listed, plan, part, f"P{number}")
    for number, part in enumerate(parts, start=1):
        add_measures(add(score, "part", id=f"P{number}"), plan, part, arrangement, top=number == 1)
    indent(score, " ")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{DOCTYPE}\n{tostring(score, encoding="unicode")}\n'.encode()


def _add_origin(score: Element) -> None:
    """What wrote the file, and which signs it holds (a reader need not add them)."""
    encoding = add(add(score, "identification"), "encoding")
    add(encoding, "software", f"sennit {__version__}")
    for element in ("accidental", "beam", "stem"):
        add(encoding, "supports", element=element, type="no" if element == "stem" else "yes")


def _add_listing(listed: Element, plan: Plan, part: PartPlan, name: str) -> None:
    """A part's entry: its name, its instrument, the MIDI channel and program of the MIDI file."""
    entry = add(listed, "score-part", id=name)
    add(entry, "part-name", part.name)
    add(entry, "part-abbreviation", abbreviation(part.name, [other.name for other in plan.parts]))
    instrument = f"{name}-I1"
    add(add(entry, "score-instrument", id=instrument), "instrument-name", part.instrument.name)
    player = add(entry, "midi-instrument", id=instrument)
    add(player, "midi-channel", CHANNELS[plan.parts.index(part)] + 1)
    add(player, "midi-program", part.instrument.program + 1)


def abbreviation(name: str, names: list[str]) -> str:
    """What stands before the systems after the first: the name; of a long one its words' initials, if no other part has
    the same."""
    if len(name) <= MOST_LETTERS:
        return name
    others = [other for other in names if other != name]
    short = _initials(name)
    return name if short in ("", *others, *map(_initials, others)) else short


def _initials(name: str) -> str:
    return " ".join(f"{word[0]}." for word in re.findall("[A-Za-z0-9]+", name))
