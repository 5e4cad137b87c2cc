"""Why a note is there: what it is in its chord, and which rules and merits speak for it, in a few words each.

Everything is concluded from the finished arrangement, by the plain halves of the rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solver.arrangement import Arrangement, Note
from solver.brief.plan import BROKEN, ChordSpan, PartPlan, Plan
from solver.export.picture.marks import varied_notes
from solver.heard import Heard, Stroke, judging_chord
from solver.music.pitch import note_name
from solver.rules import bass_returns, chord_approach, own_pitch_class, passing_notes, strong_beats

MOST = 4  # reasons for one note: the strongest come first


@dataclass(frozen=True)
class Reasons:
    """Reasons for the notes of one arrangement."""

    plan: Plan
    arrangement: Arrangement

    def of(self, note: Note) -> tuple[str, ...]:
        """Why the note is there, the most telling reason first; one at least."""
        part, strokes, at = self._stroke(note)
        span = self.plan.span_at(note.onset)
        found = [
            *self._varied(note),
            *self._low(part, strokes, at, span),
            *self._own(part, note, span),
            *self._missing_tone(part, note, span),
            *self._outside(part, strokes, at, note),
            *self._counter(part, note),
            *self._repeated(part, note),
            *self._figure(part, note, span),
            *self._strong(part, note, span),
        ]
        found = list(dict.fromkeys(found))
        return tuple(found[:MOST] or self._move(part, strokes, at, note))

    def function(self, note: Note) -> str:
        """What the note is in the chord that sounds: ``third of Bm``, or ``outside Bm``."""
        chord = self.plan.span_at(note.onset).chord
        degree = chord.degree(note.pitch)
        return f"{degree} of {chord.symbol}" if degree else f"outside {chord.symbol}"

    def name(self, pitch: int) -> str:
        """The pitch's name, as the key prefers it: ``F#4``."""
        return note_name(pitch, self.plan.key.prefers_flats)

    @cached_property
    def _heard(self) -> Heard:
        return Heard(self.plan, self.arrangement)

    @cached_property
    def _varied_notes(self) -> frozenset[Note]:
        return varied_notes(self.plan, self.arrangement)

    @cached_property
    def _own_pitch_classes(self) -> dict[tuple[str, int], frozenset[int]]:
        plan = self.plan
        return {
            (part.name, span.index): own_pitch_class.own_pitch_classes(self._heard, part, span)
            for part in plan.parts
            for span in plan.spans
        }

    def _class(self, pitch: int) -> str:
        return self.name(pitch).rstrip("-0123456789")

    def _stroke(self, note: Note) -> tuple[PartPlan, tuple[Stroke, ...], int]:
        part = self.plan.part(note.part)
        strokes = self._heard.of(part)
        return part, strokes, next(at for at, stroke in enumerate(strokes) if stroke.onset == note.onset)

    def _varied(self, note: Note) -> list[str]:
        return ["varied note: it makes the last statement end anew"] if note in self._varied_notes else []

    def _low(self, part: PartPlan, strokes: tuple[Stroke, ...], at: int, span: ChordSpan) -> list[str]:
        """The low part's duties: the bass of each chord, walking into changes, moving under the lead's returns."""
        if self.plan.bass is None or part.name != self.plan.bass.name:
            return []
        plan, stroke, found = self.plan, strokes[at], []
        if stroke.onset == span.start and stroke.pitches[0] % 12 == span.chord.bass.pc:
            what = "bass that the slash names" if span.chord.slash else "root"
            found.append(f"{what} of {span.chord.symbol}, as the chord begins")
        for _, slot in bass_returns.returns(plan):
            if slot == stroke.onset:
                found.append("moves on, so that the lead's return sounds new")
        for change in chord_approach.changes(plan, tuple(each.onset for each in strokes)):
            there = strokes[change.after]
            if change.before == at and passing_notes.moves_by_step(
                plan, part, stroke.onset, stroke.top, there.onset, there.top
            ):
                found.append(f"walks by step into {plan.span_at(there.onset).chord.symbol}")
        return found

    def _own(self, part: PartPlan, note: Note, span: ChordSpan) -> list[str]:
        if part.role != "background" or not own_pitch_class.applies(self.plan):
            return []
        if note.pitch % 12 not in self._own_pitch_classes[part.name, span.index]:
            return []
        return [f"its own pitch class: no other part has {self._class(note.pitch)} under {span.chord.symbol}"]

    def _missing_tone(self, part: PartPlan, note: Note, span: ChordSpan) -> list[str]:
        """A chord tone that sounds only here keeps the chord complete."""
        degree = span.chord.degree(note.pitch)
        alone = note.pitch % 12 in self._own_pitch_classes[part.name, span.index]
        if degree is None or not alone or len(self.plan.parts) == 1 or part.role == "background":
            return []
        return [f"alone in having the {degree} of {span.chord.symbol}"]

    def _outside(self, part: PartPlan, strokes: tuple[Stroke, ...], at: int, note: Note) -> list[str]:
        """Passing and neighbour notes: outside the chord, reached and left by step."""
        if (
            not part.is_line
            or len(strokes) < 2
            or not passing_notes.is_outside(self.plan, part, note.onset, note.pitch)
        ):
            return []
        before, here, after = strokes[at - 1], strokes[at], strokes[(at + 1) % len(strokes)]
        steps = [
            passing_notes.moves_by_step(self.plan, part, one.onset, one.top, other.onset, other.top)
            for one, other in ((before, here), (here, after))
        ]
        if not all(steps):
            return []
        if before.top == after.top:
            return [f"neighbour note of {self._class(before.top)}"]
        if (before.top < here.top) == (here.top < after.top):
            return [f"passing note between {self._class(before.top)} and {self._class(after.top)}"]
        return [f"comes by step from {self._class(before.top)} and goes by step to {self._class(after.top)}"]

    def _counter(self, part: PartPlan, note: Note) -> list[str]:
        if part.role != "counter":
            return []
        leads = self.plan.with_role("lead")
        sounding = any(self._heard.sounding_at(lead, note.onset) for lead in leads)
        return ["answers while the lead rests"] if leads and not sounding else []

    def _repeated(self, part: PartPlan, note: Note) -> list[str]:
        home = self.plan.home_slot(part, note.onset)
        if home == note.onset or note in self._varied_notes:
            return []
        return [f"repeats bar {self.plan.bar_of(home) + 1}"]

    def _figure(self, part: PartPlan, note: Note, span: ChordSpan) -> list[str]:
        chord = judging_chord(self.plan, part, note.onset)
        if part.figure == BROKEN and part.is_line:
            return [f"one string of the held {chord.symbol}"]
        return [] if part.is_line else [f"one tone of the struck {span.chord.symbol}"]

    def _strong(self, part: PartPlan, note: Note, span: ChordSpan) -> list[str]:
        if not part.is_line or not strong_beats.applies(self.plan, part, note.onset):
            return []
        return ["chord tone on a strong beat"] if note.pitch % 12 in span.chord.pcs else []

    def _move(self, part: PartPlan, strokes: tuple[Stroke, ...], at: int, note: Note) -> list[str]:
        """Where nothing else speaks for a note: how the line comes to it."""
        before = strokes[at - 1]
        name = self._class(before.top)
        if len(strokes) == 1:
            return ["the part's only note"]
        if before.top == note.pitch:
            return ["the same pitch again: few pitches make a line easy to remember"]
        if passing_notes.moves_by_step(self.plan, part, before.onset, before.top, note.onset, note.pitch):
            return [f"a step from {name}"]
        size = abs(note.pitch - before.top)
        far = f"{size} semitone{'s' if size != 1 else ''} from {name}"
        return [f"a chord tone, {far}" if note.pitch % 12 in self.plan.span_at(note.onset).chord.pcs else far]
