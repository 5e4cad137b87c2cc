"""What each part does: lead, low, background, chords or counter, each with the reason.

Roles mean what they mean in a brief (solver.brief.roles). The part that lies lowest and carries roots is low; struck
or broken chords under a melody are chords; of the other lines the most salient is the lead, what answers in its gaps
a counter, and what is sparse and moves little a background. Thresholds are settings of our own, with no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.study.figures import BROKEN
from solver.study.form import Repeat
from solver.study.harmony import Harmony
from solver.study.loop import Loop, LoopPart
from solver.study.texture import CHORDS, DYADS, SINGLE

LOW_ALONE = 47  # a lone part whose mean pitch lies below B2 is low
ROOTS = 0.35  # share of chord changes on which a low part starts the root
FEW_PITCHES = 4  # a background uses at most so many in a pass, or one a chord
SPARSE = 3.5  # strokes in four quarters that a background has at most
LESS_THAN_LEAD = 0.75  # share of the lead's strokes that a background has at most
ANSWERS = 2 / 3  # share of a counter's notes that start where the lead starts none


@dataclass(frozen=True)
class Sketch:
    """What is known of a part before its role: texture, figure, form and density (strokes in four quarters)."""

    part: LoopPart
    texture: str
    figure: str
    repeat: Repeat | None
    density: float


@dataclass(frozen=True)
class Found:
    """A role and why."""

    role: str
    reason: str


def roles_of(loop: Loop, harmony: Harmony, sketches: tuple[Sketch, ...]) -> dict[str, Found]:
    """The role of each part by its name."""
    if len(sketches) == 1:
        return {sketches[0].part.name: _alone(sketches[0])}
    found: dict[str, Found] = {}
    left = sorted(sketches, key=lambda sketch: -sketch.part.middle)
    low = left[-1]
    roots = roots_started(harmony, low.part)
    if low.texture != CHORDS and not _accompanies(low, left) and (roots >= ROOTS or low.density <= left[0].density):
        found[low.part.name] = Found("low", f"it lies lowest and starts {roots:.0%} of the chords on their root")
        left.remove(low)
    for sketch in list(left):
        if len(left) > 1 or found:
            reason = _chords_reason(sketch, left)
            if reason and len(left) > 1:
                found[sketch.part.name] = Found("chords", reason)
                left.remove(sketch)
    lead = max(left, key=lambda sketch: _salience(sketch, left))
    found[lead.part.name] = Found("lead", _lead_reason(lead, left))
    for sketch in left:
        if sketch is not lead:
            found[sketch.part.name] = _beside(loop, harmony, sketch, lead)
    return found


def roots_started(harmony: Harmony, part: LoopPart) -> float:
    """Share of the chord spans with a note in which the part's first note is the root."""
    started = [
        next((stroke[0].pitch for stroke in part.strokes if span.start <= stroke[0].onset < span.end), None)
        for span in harmony.spans
    ]
    heard = [
        pitch % 12 == span.chord.root for pitch, span in zip(started, harmony.spans, strict=True) if pitch is not None
    ]
    return sum(heard) / len(heard) if heard else 0.0


def pitches_per_pass(loop: Loop, harmony: Harmony, part: LoopPart) -> float:
    """Different top pitches in a pass, on average over the passes."""
    length = harmony.pass_bars * loop.metre.grid
    passes: dict[int, set[int]] = {}
    for onset, pitch in part.tops:
        passes.setdefault(onset // length, set()).add(pitch)
    heard = [len(pitches) for pitches in passes.values()]
    return sum(heard) / len(heard) if heard else 0.0


def answering(part: LoopPart, lead: LoopPart) -> float:
    """Share of a part's strokes that start where the lead starts none."""
    leads = {onset for onset, _ in lead.tops}
    return sum(onset not in leads for onset, _ in part.tops) / len(part.tops)


def _alone(sketch: Sketch) -> Found:
    if sketch.texture == CHORDS:
        return Found("chords", "it is the only part and strikes chords")
    if sketch.part.middle < LOW_ALONE:
        return Found("low", "it is the only part and lies in the bass")
    return Found("lead", "it is the only part")


def _accompanies(sketch: Sketch, all_of_them: list[Sketch]) -> bool:
    """A broken chord under a melody, busier than a bass."""
    return sketch.figure == BROKEN and len(all_of_them) == 2 and sketch.density > all_of_them[0].density


def _chords_reason(sketch: Sketch, left: list[Sketch]) -> str:
    """Why a part is chords; nothing where it is not."""
    highest = max(left, key=lambda other: other.part.middle)
    if sketch.texture == CHORDS:
        return "most of its strokes have three notes or more"
    if sketch.figure == BROKEN and sketch is not highest:
        return "it breaks the chords under the melody"
    if sketch.texture == DYADS and sketch is not highest and sketch.repeat is None:
        return "it strikes pairs of chord tones under the melody"
    return ""


def _salience(sketch: Sketch, left: list[Sketch]) -> float:
    """How much a line is to the fore: high, busy, coming back with a change."""
    ranks = sorted(left, key=lambda other: other.part.middle)
    height = ranks.index(sketch) / max(1, len(left) - 1)
    busiest = max(other.density for other in left)
    varied = 0.35 if sketch.repeat and sketch.repeat.varied and sketch.repeat.at_end else 0.0
    returns = 0.15 if sketch.repeat else 0.0
    return height + sketch.density / busiest + varied + returns


def _lead_reason(lead: Sketch, left: list[Sketch]) -> str:
    reasons = []
    if lead.part.middle == max(other.part.middle for other in left):
        reasons.append("it is the highest line")
    if len(left) > 1 and lead.density == max(other.density for other in left):
        reasons.append("it has the most notes")
    if lead.repeat and lead.repeat.varied:
        reasons.append("it comes back with a change")
    elif lead.repeat:
        reasons.append("it comes back")
    return ", ".join(reasons) or "it stands out most among the lines"


def _beside(loop: Loop, harmony: Harmony, sketch: Sketch, lead: Sketch) -> Found:
    """Background or counter."""
    pitches = pitches_per_pass(loop, harmony, sketch.part)
    chords = len(harmony.first_pass(loop.metre.grid))
    still = pitches <= max(FEW_PITCHES, chords) and sketch.density <= SPARSE
    answers = answering(sketch.part, lead.part)
    if sketch.texture == SINGLE and answers >= ANSWERS and not (still and _is_plain(loop, sketch, pitches)):
        return Found("counter", f"{answers:.0%} of its notes start where the lead starts none")
    if still and sketch.density <= max(1.0, LESS_THAN_LEAD * lead.density):
        return Found("background", f"it is sparse ({sketch.density:.1f} notes in four quarters) and moves little")
    if answers >= ANSWERS:
        return Found("counter", f"{answers:.0%} of its notes start where the lead starts none")
    return Found("background", "it is neither the highest nor the lowest line and mostly sounds with the lead")


def _is_plain(loop: Loop, sketch: Sketch, pitches: float) -> bool:
    """Whether a line says little of its own: it returns, or stays on very few pitches."""
    bars = {onset // loop.metre.grid for onset, _ in sketch.part.tops}
    return pitches <= 2 or (sketch.repeat is not None and pitches <= FEW_PITCHES) or len(bars) == loop.bars
