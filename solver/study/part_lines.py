"""The lines of one part's table in the brief that study writes."""

from __future__ import annotations

from itertools import pairwise

from solver.brief.roles import ROLES, default_range, default_texture
from solver.music.instruments import Instrument
from solver.study.bass import bass_returns
from solver.study.figures import BROKEN, FEW
from solver.study.spelling import pitch_name
from solver.study.study import PartStudy, Study
from solver.study.texture import DYADS, SINGLE
from solver.study.toml_lines import Line, text_value

LEAST_RANGE = {SINGLE: 12, DYADS: 14, "chords": 16}  # semitones that leave the search room
BROKEN_RANGE = 19  # semitones for a broken chord, which has to reach three tones of every chord
DEFAULT_INSTRUMENT = "electric guitar"
MOVING = ("down", "up", "hold")


def part_lines(study: Study, part: PartStudy) -> list[Line]:
    """The part's table, line by line."""
    lines = [Line("role", text_value(part.role), part.reason), _instrument(part)]
    if part.instrument is not None:
        lines.append(_range(study, part, part.instrument))
    lines.append(_notes_per_bar(study, part))
    lines += _repeat(study, part)
    if part.figure != FEW:
        lines.append(Line("figure", text_value(part.figure), _figure_reason(part)))
    moves = part.role == "low" or (part.role == "background" and part.motion == "hold")
    if part.motion in MOVING and moves and not _starts_over(study, part):
        lines.append(Line("motion", text_value(part.motion), _motion_reason(part)))
    texture = _texture(part)
    if texture != default_texture(ROLES[part.role], part.figure):
        sizes = {len(stroke) for stroke in part.part.strokes}
        lines.append(Line("texture", text_value(texture), f"its strokes have {_list(sorted(sizes))} notes"))
    return lines


def _instrument(part: PartStudy) -> Line:
    if part.instrument is None:
        reason = "no instrument known here reaches all its notes and holds its strokes; this is a guess"
        return Line("instrument", text_value(DEFAULT_INSTRUMENT), reason)
    by_program = part.part.program is not None
    reason = "reaches all its notes" + (" and suits the file's program" if by_program else "")
    return Line("instrument", text_value(part.instrument.name), reason)


def _range(study: Study, part: PartStudy, instrument: Instrument) -> Line:
    least = BROKEN_RANGE if part.figure == BROKEN else LEAST_RANGE[part.texture]
    usual = default_range(ROLES[part.role], part.figure, instrument, alone=len(study.parts) == 1)
    is_usual = usual[0] <= part.low and part.high <= usual[1] and usual[1] - usual[0] >= least
    room = usual if is_usual else (instrument.low, instrument.high)
    low, high = widened(part.low, part.high, least, room, downwards=part.role == "low")
    lowest, highest = pitch_name(part.low, study.key), pitch_name(part.high, study.key)
    span = f"its notes span {lowest} to {highest}" if part.low < part.high else f"it plays {lowest} alone"
    reason = span if (low, high) == (part.low, part.high) else f"{span}; wider, to leave room"
    return Line("range", text_value(f"{pitch_name(low, study.key)}..{pitch_name(high, study.key)}"), reason)


def widened(low: int, high: int, least: int, room: tuple[int, int], downwards: bool) -> tuple[int, int]:
    """A range of at least so many semitones where the room, a lowest and a highest pitch, has them: widened on both
    sides, or downwards first."""
    missing = max(0, least - (high - low))
    below, above = low - room[0], room[1] - high
    down = min(missing if downwards else missing // 2, below)
    up = min(missing - down, above)
    return low - min(missing - up, below), high + up


def _notes_per_bar(study: Study, part: PartStudy) -> Line:
    fewest, most = part.rhythm.per_bar
    reason = f"its bars have {fewest} to {most}" if fewest < most else f"each of its bars has {most}"
    if part.rhythm.silent_bars:
        fewest = 0
        reason += f", {part.rhythm.silent_bars} have none"
    if part.role == "background":
        leads = [lead.rhythm.per_bar[0] for lead in study.with_role("lead")]
        if leads and fewest > min(leads):
            fewest = min(leads)
            reason += "; fewer may do, so that it stays sparser than the lead"
    return Line("notes_per_bar", f"[{fewest}, {most}]", reason)


def _repeat(study: Study, part: PartStudy) -> list[Line]:
    """Repeat and variation. A part whose role repeats by default says that it does not where it does not."""
    repeats_by_default = ROLES[part.role].repeats
    repeat = part.repeat
    if repeat is None or study.bars % repeat.every:
        reason = "no stretch of it comes back, so the repeat is as long as the loop"
        return [Line("repeat_every", str(study.bars), reason)] if repeats_by_default else []
    if part.role == "low" and (stays := _stays_under_lead(study, part)):
        return [] if not repeats_by_default else [Line("repeat_every", str(study.bars), stays)]
    times = study.bars // repeat.every
    lines = [Line("repeat_every", str(repeat.every), f"{_bars(repeat.every)} {times} times")]
    last_bar = (study.bars - 1) * study.loop.metre.grid
    late = [slot for slot in repeat.varied if slot >= last_bar]
    most = part.rhythm.per_bar[1]
    if not repeat.varied:
        if ROLES[part.role].vary_notes != (0, 0):
            lines.append(Line("vary_notes", "[0, 0]", "the last time is like the first"))
        return lines
    places = ", ".join(study.loop.place(slot) for slot in repeat.varied[:4])
    changed = min(len(late) or 1, most)
    wanted = f"[{min(1, changed)}, {min(max(2, changed), most)}]"
    reason = f"what changes: {places}" + ("" if late else "; here changes lie in the last bar")
    lines.append(Line("vary_notes", wanted, reason))
    return lines


def _stays_under_lead(study: Study, part: PartStudy) -> str:
    """Why a low part's repeat cannot be asked for: each return of the lead would meet the same note again."""
    for lead in study.with_role("lead"):
        if lead.repeat and part.repeat and lead.repeat.every % part.repeat.every == 0:
            return "it repeats as well; here the low part moves under each return of the lead"
    return ""


def _starts_over(study: Study, part: PartStudy) -> bool:
    """Whether a low part falls or rises from one and the same note under each return of the lead.

    Here it has to meet a return on another pitch, from which the same way seldom has room on the neck.
    """
    if part.role != "low" or part.motion == "hold":
        return False
    leads = [lead.repeat.every for lead in study.with_role("lead") if lead.repeat]
    met = [[entry.pitch for entry in bass_returns(study.loop, part.part, every)] for every in leads]
    return any(one == other for pitches in met for one, other in pairwise(pitches))


def _figure_reason(part: PartStudy) -> str:
    if part.figure == BROKEN:
        return "it plays the tones of each chord one after the other"
    moves = part.moves
    return f"{moves.steps} of {moves.steps + moves.leaps} moves go by step"


def _motion_reason(part: PartStudy) -> str:
    if part.motion == "hold":
        return "it stays on one pitch under each chord"
    return "the first notes of its bars " + ("fall" if part.motion == "down" else "rise") + " in each pass"


def _texture(part: PartStudy) -> str:
    """A broken chord is played note by note."""
    return SINGLE if part.figure == BROKEN else part.texture


def _bars(number: int) -> str:
    return "1 bar" if number == 1 else f"{number} bars"


def _list(numbers: list[int]) -> str:
    words = [str(number) for number in numbers]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " or " + words[-1]
