"""What was found of one part, in sentences."""

from __future__ import annotations

from solver.study.figures import BROKEN, STEPS
from solver.study.form import Repeat, change_at, form_words
from solver.study.spelling import pitch_name
from solver.study.study import PartStudy, Study
from solver.study.texture import CHORDS, DYADS

MOST_PLACES = 6  # places that a sentence lists before it only counts
MOST_FEW = 5  # different pitches up to which a line is said to have few notes, as a lead of this program has
PEDAL = 0.75  # share of a part's strokes on one pitch from which it is a pedal
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def part_sentences(study: Study, part: PartStudy) -> list[str]:
    """Role, register, rhythm, figure, form, motion, chord tones, own notes, held notes."""
    name = pitch_name(part.low, study.key), pitch_name(part.high, study.key)
    instrument = f"playable on {_article(part.instrument.name)}" if part.instrument else "no instrument here plays it"
    return [
        f"Its role is {part.role}: {part.reason}.",
        f"It lies between {name[0]} and {name[1]}; {instrument}.",
        *_rhythm(study, part),
        _figure(part),
        *_form(study, part),
        _motion(study, part),
        *_tones(study, part),
        *_held(study, part),
    ]


def listed(words: list[str]) -> str:
    """Words in a sentence: ``"a, b and c"``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def places(study: Study, slots: list[int]) -> str:
    """Slots as bar and beat, the first few of many."""
    named = [study.loop.place(slot) for slot in slots[:MOST_PLACES]]
    more = f" and {len(slots) - MOST_PLACES} more" if len(slots) > MOST_PLACES else ""
    return "; ".join(named) + more


def _rhythm(study: Study, part: PartStudy) -> list[str]:
    rhythm = part.rhythm
    fewest, most = rhythm.per_bar
    what = "strokes" if part.texture in (CHORDS, DYADS) else "notes"
    number = f"{fewest} to {most} {what}" if fewest < most else _counted(most, what)
    silent = f", and is silent in {_counted(rhythm.silent_bars, 'bars')}" if rhythm.silent_bars else ""
    found = [f"It has {number} a bar{silent}."]
    bars = listed([str(bar + 1) for bar in rhythm.cell_bars[:MOST_PLACES]])
    more = f" and {len(rhythm.cell_bars) - MOST_PLACES} more" if len(rhythm.cell_bars) > MOST_PLACES else ""
    which = "bar" if len(rhythm.cell_bars) == 1 else "bars"
    found.append(f"Its cell is {rhythm.cell} ({which} {bars}{more}), syncopation {rhythm.syncopation:.1f} a bar.")
    if rhythm.repeats and (part.repeat is None or rhythm.repeats < part.repeat.every):
        every = "every bar" if rhythm.repeats == 1 else f"every {rhythm.repeats} bars"
        found.append(f"Its rhythm comes again {every} while the pitches change.")
    return found


def _figure(part: PartStudy) -> str:
    moves = part.moves
    leaps = f"{_counted(moves.leaps, 'leaps')} (the largest {_semitones(moves.largest)})"
    moving = f"{_counted(moves.steps, 'steps')}, {leaps} and {_counted(moves.repeats, 'repeated notes')}"
    if part.figure == BROKEN:
        return f"It breaks the chords: {moving}."
    if part.figure == STEPS:
        return f"It goes by step: {moving}."
    number = len({pitch for _, pitch in part.part.tops})
    pitches = _counted(number, "different pitches")
    if part.texture in (DYADS, CHORDS):
        kind = "It plays pairs of notes" if part.texture == DYADS else "It strikes chords"
        return f"{kind}, {pitches} in its top line: {moving}."
    return f"It plays {'few notes, ' if number <= MOST_FEW else ''}{pitches}: {moving}."


def _form(study: Study, part: PartStudy) -> list[str]:
    if part.repeat is None:
        if len(part.sections) > 1:
            starts = [f"{section.name} from bar {section.start + 1}" for section in part.sections[:MOST_PLACES]]
            more = " …" if len(part.sections) > MOST_PLACES else ""
            return [f"Its form is {form_words(part.sections)}: {listed(starts)}{more}."]
        return ["Nothing of it comes back as a whole."]
    every, varied = part.repeat.every, part.repeat.varied
    form = form_words(part.sections)
    length = "1 bar" if every == 1 else f"{every} bars"
    start = f"Its form is {form}: a statement of {length} that starts again in bar {every + 1}"
    if not varied:
        return [f"{start} and comes back exactly."]
    changes = [_change(study, part, part.repeat, slot) for slot in varied[:MOST_PLACES]]
    more = f" and {len(varied) - MOST_PLACES} more" if len(varied) > MOST_PLACES else ""
    return [f"{start}; what changes is {'; '.join(changes)}{more}."]


def _change(study: Study, part: PartStudy, repeat: Repeat, slot: int) -> str:
    """A place at which a return differs, and what sounds there instead of what did in the first statement."""
    pitches = change_at(study.loop, part.part, repeat, slot)
    now, before = ("+".join(pitch_name(pitch, study.key) for pitch in side) for side in pitches)
    what = f"{now} instead of {before}" if now and before else f"{now} is new" if now else f"{before} is left out"
    return f"{study.loop.place(slot)} ({what})"


def _motion(study: Study, part: PartStudy) -> str:
    tops = [pitch for _, pitch in part.part.tops]
    favourite = max(set(tops), key=lambda pitch: (tops.count(pitch), -pitch))
    if len(tops) > 2 and tops.count(favourite) >= PEDAL * len(tops):
        return f"It is a pedal on {pitch_name(favourite, study.key)}."
    if part.motion == "hold":
        return "It stays on one pitch under each chord."
    if part.motion in ("down", "up"):
        return f"It walks {part.motion}: the first notes of its bars never go the other way within a pass."
    moves = part.moves
    return "It moves mostly by leap." if moves.leaps > moves.steps else "It moves freely, mostly by step."


def _tones(study: Study, part: PartStudy) -> list[str]:
    found = []
    for coverage in study.coverage:
        degrees = coverage.supplied.get(part.name, ())
        own = coverage.own.get(part.name, ())
        words = f"Under {coverage.chord.symbol} it supplies the {listed(list(degrees))}" if degrees else ""
        words = words or f"Under {coverage.chord.symbol} it plays no chord tone"
        alone = f"; it alone plays {listed(list(own))}" if own and len(study.parts) > 1 else ""
        found.append(f"{words}{alone}.")
    return found


def _held(study: Study, part: PartStudy) -> list[str]:
    if not part.rhythm.held:
        return []
    return [f"It holds notes at {places(study, list(part.rhythm.held))}."]


def _counted(number: int, plural: str) -> str:
    one = {"bars": "bar", "notes": "note", "strokes": "stroke", "steps": "step", "leaps": "leap"}
    singular = one.get(plural, plural.removesuffix("es") if plural.endswith("ches") else plural.removesuffix("s"))
    word = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{word} {singular if number == 1 else plural}"


def _semitones(number: int) -> str:
    return "1 semitone" if number == 1 else f"{number} semitones"


def _article(name: str) -> str:
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name}"
