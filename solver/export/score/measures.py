"""The measures of one part: notation above, tablature below, with the same values on both."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.export.fingering import fingering
from solver.export.score.bars import Written, written_bars
from solver.export.score.beams import beams
from solver.export.score.chord_symbols import add_chord_symbol
from solver.export.score.ornaments import Run, Shapes, add_grace_notes, add_sign, runs_before, shapes_of
from solver.export.score.spelling import Accidentals, written_pitch
from solver.export.score.staves import add_attributes, add_tempo, add_words, playing_words
from solver.export.score.xml import add
from solver.music.fretboard import Place

NOTATION, TABLATURE = 1, 2
BARS_IN_A_LINE = 4  # where they find room


@dataclass(frozen=True)
class _Staff:
    """What the notes of one staff need to know. ``places`` is None on the notation staff."""

    plan: Plan
    number: int
    ids: str
    accidentals: Accidentals
    places: dict[Note, Place] | None
    part: PartPlan
    shapes: Shapes

    @property
    def is_tablature(self) -> bool:
        """Whether it shows strings and frets."""
        return self.places is not None


def add_measures(parent: Element, plan: Plan, part: PartPlan, arrangement: Arrangement, *, top: bool) -> None:
    """Add all measures of a part; those of the top part carry tempo and chord symbols."""
    bars = written_bars(plan, part, arrangement)
    places = fingering(plan, part, arrangement.part(part.name)).places
    ids = parent.get("id", "")
    shapes = shapes_of(plan, part, arrangement.part(part.name))
    notation = _Staff(plan, NOTATION, f"{ids}-n", Accidentals(plan.key.signature), None, part, shapes)
    tablature = _Staff(plan, TABLATURE, f"{ids}-t", Accidentals(plan.key.signature), places, part, shapes)
    for number, bar in enumerate(bars):
        measure = add(parent, "measure", number=number + 1)
        if number and number % BARS_IN_A_LINE == 0:
            add(measure, "print", new_system="yes")
        if number == 0:
            add_attributes(measure, plan, part)
            if top:
                add_tempo(measure, plan)
            add_words(measure, playing_words(part), top)
        if top:
            _add_chord_symbols(measure, plan, number)
        _add_voice(measure, notation, number, bar)
        add(add(measure, "backup"), "duration", plan.metre.grid)
        _add_voice(measure, tablature, number, bar)
        if number == len(bars) - 1:
            add(add(measure, "barline", location="right"), "bar-style", "light-heavy")


def _add_chord_symbols(measure: Element, plan: Plan, bar: int) -> None:
    """Chords that begin in this bar."""
    first = bar * plan.metre.grid
    for span in plan.spans:
        if first <= span.start < first + plan.metre.grid:
            add_chord_symbol(measure, span.chord, span.start - first)


def _add_voice(measure: Element, staff: _Staff, bar: int, written: tuple[Written, ...]) -> None:
    """One bar of one staff."""
    staff.accidentals.new_bar()
    flags = beams(staff.plan.metre, written)
    first = bar * staff.plan.metre.grid
    count = 0
    runs = runs_before(staff.plan, staff.shapes, bar)
    for value, levels in zip(written, flags, strict=True):
        _add_run(measure, staff, runs.pop(first + value.value.start, None))
        shown = [note for note in value.notes if staff.places is None or note in staff.places]
        if not shown:
            _add_rest(measure, staff, value)
        for index, note in enumerate(shown):
            count += 1
            name = f"{staff.ids}{bar + 1}-{count}"
            _add_note(measure, staff, value, note, name, first, levels if index == 0 else (), chord=index > 0)
    _add_run(measure, staff, runs.pop(staff.plan.slots, None))


def _add_run(measure: Element, staff: _Staff, run: Run | None) -> None:
    """A run's grace notes; none on a tablature that has no place for the note they come from."""
    if run is None or (staff.places is not None and run.note not in staff.places):
        return
    place = staff.places[run.note] if staff.places is not None else None
    add_grace_notes(measure, staff.plan, staff.part, run, staff.number, staff.accidentals, place)


def _add_rest(measure: Element, staff: _Staff, written: Written) -> None:
    element = add(measure, "note")
    if staff.is_tablature:
        element.set("print-object", "no")
    rest = add(element, "rest")
    if written.whole_bar:
        rest.set("measure", "yes")
    add(element, "duration", written.value.end - written.value.start)
    add(element, "voice", staff.number)
    if not written.whole_bar:
        _add_value(element, written)
    add(element, "staff", staff.number)
    _add_notations(element, written, None, None, staff, chord=False)


def _add_note(
    measure: Element,
    staff: _Staff,
    written: Written,
    note: Note,
    name: str,
    first: int,
    levels: tuple[str, ...],
    *,
    chord: bool,
) -> None:
    """One note head, or one number on the tablature, where a tie's end is not shown again."""
    element = add(measure, "note", id=name)
    if staff.is_tablature and written.tied_from:
        element.set("print-object", "no")
    if chord:
        add(element, "chord")
    pitch = written_pitch(staff.plan, min(note.onset, staff.plan.slots - 1), note.pitch)
    parts = add(element, "pitch")
    add(parts, "step", pitch.letter)
    if pitch.alter:
        add(parts, "alter", pitch.alter)
    add(parts, "octave", pitch.octave)
    add(element, "duration", written.value.end - written.value.start)
    for kind in _ties(written):
        add(element, "tie", type=kind)
    add(element, "voice", staff.number)
    accidental = None
    if not staff.is_tablature:
        from_bar_before = written.tied_from and written.value.start == 0 and first > 0
        accidental = staff.accidentals.needed(pitch, tied=from_bar_before)
    _add_value(element, written, accidental)
    if staff.is_tablature:
        add(element, "stem", "none")
    add(element, "staff", staff.number)
    if not staff.is_tablature:
        for level, beam in enumerate(levels, start=1):
            add(element, "beam", beam, number=level)
    place = staff.places[note] if staff.places is not None else None
    _add_notations(element, written, note, place, staff, chord=chord)


def _ties(written: Written) -> list[str]:
    return ["stop"] * written.tied_from + ["start"] * written.tied_to


def _add_value(element: Element, written: Written, accidental: str | None = None) -> None:
    """Type, dots, accidental and the tuplet's ratio, in the schema's order."""
    value = written.value
    add(element, "type", value.name)
    for _ in range(value.dots):
        add(element, "dot")
    if accidental:
        add(element, "accidental", accidental)
    if value.tuplet:
        ratio = add(element, "time-modification")
        add(ratio, "actual-notes", value.tuplet.actual)
        add(ratio, "normal-notes", value.tuplet.normal)
        add(ratio, "normal-type", value.tuplet.unit)


def _add_notations(
    element: Element, written: Written, note: Note | None, place: Place | None, staff: _Staff, *, chord: bool
) -> None:
    """Ties, the tuplet's bracket, an ornament's sign, string and fret."""
    notations = Element("notations")
    is_tablature = staff.is_tablature
    for kind in _ties(written) if written.notes else []:
        add(notations, "tied", type=kind)
    tuplet = written.value.tuplet
    if tuplet and not chord:
        if written.value.start == tuplet.start and is_tablature:
            add(notations, "tuplet", type="start", number=1, bracket="no", show_number="none")
        elif written.value.start == tuplet.start:
            add(notations, "tuplet", type="start", number=1, bracket="yes")
        if written.value.end == tuplet.end:
            add(notations, "tuplet", type="stop", number=1)
    if note in staff.shapes and not written.tied_from:
        add_sign(notations, staff.plan, note, staff.shapes[note], staff.accidentals)
    if place is not None:
        technical = add(notations, "technical")
        add(technical, "string", place[0])
        add(technical, "fret", place[1])
    if len(notations):
        element.append(notations)
