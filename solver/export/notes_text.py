"""The page of notes in a hand-over: what the loop is, who plays what, how it came about, and what to mind."""

from __future__ import annotations

import textwrap

from solver.arrangement import Ranked
from solver.brief.feel import PLAYED, Feel
from solver.brief.plan import PartPlan, Plan
from solver.export.fingering import fingering
from solver.export.score.staves import playing_words
from solver.export.sound.rendering import AIM, HIGHEST_PEAK
from solver.export.sound.stems import Audio
from solver.music.pitch import note_name
from solver.takes.record import Take

WIDTH = 96
BARS_IN_A_LINE = 4


def notes_text(plan: Plan, take: Take, number: int, audio: Audio) -> str:
    """The page, in plain text."""
    ranked = take.arrangements[number - 1]
    blocks = [
        [plan.title, "=" * len(plan.title)],
        _head(plan, audio),
        ["Chords", *_chords(plan)],
        ["Parts", *(line for part in plan.parts for line in _part(plan, part, ranked))],
        ["Feel", *_wrapped(feel_words(plan.feel))],
        ["How it came about", *_origin(take, number, ranked)],
        ["To mind", *(line for caution in _cautions(plan, ranked, audio) for line in _wrapped(caution))],
    ]
    return "\n".join("\n".join(block) + "\n" for block in blocks)


def _head(plan: Plan, audio: Audio) -> list[str]:
    samples = len(audio.wet.mix)
    bars = "1 bar" if plan.bars == 1 else f"{plan.bars} bars"
    return [
        f"Key       {plan.key.name}",
        f"Tempo     {plan.tempo:g} quarter notes a minute",
        f"Metre     {plan.metre.name}",
        f"Length    {bars}, {samples} samples at {audio.rate} Hz ({samples / audio.rate:.3f} s), a loop without a seam",
        f"Sound     {audio.engine}",
        f"Loudness  {audio.loudness:.1f} LUFS (BS.1770), true peak {audio.true_peak:.1f} dBTP, of the mix as a loop",
    ]


def _chords(plan: Plan) -> list[str]:
    """Which chords each bar has, four bars to a line; a bar without a new one goes on with the last."""
    bars = []
    for bar in range(plan.bars):
        first, last = bar * plan.metre.grid, (bar + 1) * plan.metre.grid
        inside = [span for span in plan.spans if span.start < last and span.end > first]
        bars.append(f"{bar + 1}: " + " ".join(span.chord.symbol for span in inside))
    width = max(map(len, bars)) + 3
    lines = [bars[at : at + BARS_IN_A_LINE] for at in range(0, len(bars), BARS_IN_A_LINE)]
    return ["  " + "".join(bar.ljust(width) for bar in line).rstrip() for line in lines]


def _part(plan: Plan, part: PartPlan, ranked: Ranked) -> list[str]:
    notes = ranked.arrangement.part(part.name)
    flats = plan.key.prefers_flats
    played = (
        f"{note_name(min(n.pitch for n in notes), flats)} to {note_name(max(n.pitch for n in notes), flats)}"
        if notes
        else "silent"
    )
    repeats = f", repeats every {_bars(part.repeat_every)}" if part.repeat_every else ""
    ornaments = [f"{note.ornament} ({plan.place(note.onset)})" for note in notes if note.ornament]
    decorated = f"; ornaments: {', '.join(ornaments)}" if ornaments else ""
    notes_played = f"{len(notes)} notes, {played} as they sound"
    return _wrapped(f"{part.name}: {part.role}, {playing_words(part)}; {notes_played}{repeats}{decorated}")


def _bars(count: int) -> str:
    return "bar" if count == 1 else f"{count} bars"


def feel_words(feel: Feel) -> str:
    """How it is played, in a sentence."""
    if feel.exact:
        return "None: every note is on the grid."
    swing = "even" if feel.swing == 1 else f"swung {feel.swing:.2f} to 1"
    late = ", ".join(f"{role} {time:+g}" for role, time in feel.drag.items() if time)
    lengths = ", ".join(f"{role} {how}" for role, how in feel.lengths.items())
    words = [
        f"Played {swing}",
        f"milliseconds behind the beat: {late or 'none'}",
        f"spread {feel.spread:g} ms, touch {feel.touch:g}, strum {feel.strum:g} ms ({feel.strum_direction})",
        f"accents {feel.accent:g}, phrases {feel.phrase:g}" + (f"; lengths: {lengths}" if lengths else ""),
    ]
    default = " These are the defaults." if feel == PLAYED else ""
    return "; ".join(words) + f". The WAV and MIDI files are played so; the score is written on the grid.{default}"


def _origin(take: Take, number: int, ranked: Ranked) -> list[str]:
    header = take.header
    facts = [
        f"Arrangement {number} of {len(take.arrangements)} of {take.name}, from the brief {header.brief_name}, "
        f"seed {header.seed}, found by exact search with sennit {header.sennit} "
        f"({', '.join(f'{name} {version}' for name, version in header.versions.items())}).",
        f"Total {ranked.total:.1f} of 100, {ranked.proof}. {ranked.summary}".strip(),
    ]
    options = ", ".join(f"{name} {value}" for name, value in header.options.items() if value is not None)
    if options:
        facts.append(f"Asked for: {options}.")
    if header.parent:
        facts.append(f"Made from arrangement {header.parent.arrangement} of {header.parent.take}.")
    if header.locks:
        facts.append(f"Kept: {', '.join(header.locks)}.")
    if header.changes:
        facts.append(f"Changed: {', '.join(header.changes)}.")
    brief = ["  The brief:", *(f"    {line}".rstrip() for line in header.brief_text.rstrip().splitlines())]
    return [line for fact in facts for line in _wrapped(fact)] + brief


def _cautions(plan: Plan, ranked: Ranked, audio: Audio) -> list[str]:
    found = [
        "Nobody has compared these notes with all music that exists. Listen before you publish.",
        "The total is a checklist of rules and merits, not a forecast of what people like.",
        "The sound is a sketch of guitars. Let players or better instruments replace it.",
        "The score is written an octave above where guitars and basses sound, as they are read.",
    ]
    if audio.loudness < AIM - 0.1:
        found.append(f"The mix is below {AIM:g} LUFS, as peaks reach the highest level allowed, {HIGHEST_PEAK:g} dBTP.")
    for part in plan.parts:
        notes = fingering(plan, part, ranked.arrangement.part(part.name)).unplayable
        if notes:
            places = ", ".join(dict.fromkeys(plan.place(note.onset) for note in notes[:4]))
            more = " and elsewhere" if len(notes) > 4 else ""
            found.append(f"No hand plays {part.name} as it stands on its {part.instrument.name}: {places}{more}.")
    return found


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)
