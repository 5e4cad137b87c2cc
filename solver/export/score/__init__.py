"""The score: MusicXML 4.0 with notation and tablature for every part.

    score_xml(plan, arrangement)   # bytes of a .musicxml file

Written pitches stand an octave above where they sound, as guitars and basses are read; the transposition says so.
Strings and frets are on the tablature staff alone. Equal input gives equal bytes: no date, numbered ids.
"""

from solver.export.score.document import score_xml

__all__ = ["score_xml"]
