"""From a part's table in the brief to its plan: role, instrument and range, with the checks between its keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from solver.brief.findings import Findings
from solver.brief.places import KeyPath
from solver.brief.plan import BROKEN, SINGLE, PartPlan
from solver.brief.roles import (
    COUNTER,
    LEAD,
    ROLES,
    Role,
    default_notes_per_bar,
    default_range,
    default_texture,
    longest_slots,
)
from solver.brief.timing import TIMING_KEYS, default_repeat
from solver.music.faults import Fault
from solver.music.instruments import Instrument, find_instrument, tuned
from solver.music.metre import Metre
from solver.music.ornaments import NONE
from solver.music.pitch import note_name

if TYPE_CHECKING:
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief

LEAST_SPANS = {"dyads": 1, "chords": 6}  # semitones: two pitches; the narrowest triad (a diminished one)
METRE_KEYS: tuple[KeyPath, ...] = (("meter",), ("grid",))


@dataclass(frozen=True)
class Frame:
    """What holds for all parts of a brief: its metre, bars, the bars that a default repeat is a multiple of."""

    metre: Metre
    bars: int
    unit: Fraction
    alone: bool  # there is one part only
    ornaments: str = NONE  # of leads and counters that say nothing of their own


def role_of(name: str, part: Part) -> Role | None:
    """The part's role, or the one that its name says; None where neither does."""
    return ROLES.get(part.role or name)


def statement_bars(brief: Brief) -> int:
    """Bars of a statement of the first lead in a brief of a single chord; the whole loop where nothing repeats."""
    for name, part in brief.parts.items():
        if role_of(name, part) is LEAD and part.repeat_every and brief.bars % part.repeat_every == 0:
            return part.repeat_every
    return default_repeat(brief.bars, Fraction(1)) or brief.bars


def part_plan(
    name: str, part: Part, rank: int, frame: Frame, instruments: Mapping[str, Instrument], findings: Findings
) -> PartPlan:
    """The plan of one part. What cannot be is reported, and the default stands in for it."""
    role = role_of(name, part) or LEAD
    if role_of(name, part) is None:
        choices = ", ".join(f'"{choice}"' for choice in ROLES)
        findings.report(("parts", name, "role"), f'the part "{name}" has no role', f"add role with one of {choices}")
    instrument = _instrument(name, part, instruments, findings)
    low, high = _range(name, part, role, instrument, frame, findings)
    notes_per_bar = _notes_per_bar(name, part, role, frame, findings)
    repeat = _repeat_every(name, part, role, frame, findings)
    return PartPlan(
        name=name,
        role=role.name,
        instrument=instrument,
        low=low,
        high=high,
        notes_per_bar=notes_per_bar,
        repeat_every=repeat,
        vary_notes=_vary_notes(name, part, role, notes_per_bar, repeat, findings),
        figure=part.figure,
        motion=part.motion,
        texture=_texture(name, part, role, high - low, findings),
        max_leap=role.max_leap,
        longest=longest_slots(role, instrument, frame.metre),
        rank=rank,
        ornaments=_ornaments(name, part, role, frame, findings),
    )


def _instrument(name: str, part: Part, instruments: Mapping[str, Instrument], findings: Findings) -> Instrument:
    found = next(iter(instruments.values()))
    key = "instrument"
    try:
        found = find_instrument(part.instrument, dict(instruments))
        key = "tuning"
        found = tuned(found, part.tuning)
        key = "capo"
        return tuned(found, part.tuning, part.capo) if part.capo else found
    except Fault as fault:
        reads: list[KeyPath] = [("parts", name, "instrument"), ("parts", name, "tuning")]
        findings.report(("parts", name, key), fault.wrong, fault.right, reads=reads)
        return found


def _range(
    name: str, part: Part, role: Role, instrument: Instrument, frame: Frame, findings: Findings
) -> tuple[int, int]:
    if part.range is None:
        return default_range(role, part.figure, instrument, frame.alone)
    from solver.brief.value_kinds import range_of

    low, high = range_of(part.range)
    reads: list[KeyPath] = [("parts", name, key) for key in ("instrument", "tuning", "capo")]
    if low < instrument.low or high > instrument.high:
        neck = f"{note_name(instrument.low)}..{note_name(instrument.high)}"
        state = f"with a capo at fret {instrument.capo} has" if instrument.capo else "has"
        findings.report(
            ("parts", name, "range"),
            f"the range {part.range} leaves the {instrument.name}, which {state} {neck}",
            f'stay within "{neck}"',
            reads=reads,
        )
    return low, high


def _notes_per_bar(name: str, part: Part, role: Role, frame: Frame, findings: Findings) -> tuple[int, int]:
    path: KeyPath = ("parts", name, "notes_per_bar")
    default = default_notes_per_bar(role, part.figure, frame.metre)
    if part.notes_per_bar is None:
        return default
    fewest, most = part.notes_per_bar
    grid = frame.metre.grid
    if most > grid:
        findings.report(path, f"{most} notes do not fit a bar of {grid} slots", f"use at most {grid}", reads=METRE_KEYS)
        return default
    if most == 0:
        findings.report(path, "the part would have no notes", "use at least [0, 1], or leave the part out")
        return default
    return fewest, most


def _repeat_every(name: str, part: Part, role: Role, frame: Frame, findings: Findings) -> int | None:
    if part.repeat_every is None:
        return default_repeat(frame.bars, frame.unit) if role.repeats else None
    if frame.bars % part.repeat_every:
        divisors = ", ".join(str(bars) for bars in range(1, frame.bars + 1) if frame.bars % bars == 0)
        findings.report(
            ("parts", name, "repeat_every"),
            f"{part.repeat_every} bars do not divide the loop of {frame.bars} bars",
            f"use one of {divisors}",
            reads=[("bars",)],
        )
        return None
    return None if part.repeat_every == frame.bars else part.repeat_every


def _vary_notes(
    name: str, part: Part, role: Role, notes_per_bar: tuple[int, int], repeat: int | None, findings: Findings
) -> tuple[int, int]:
    path: KeyPath = ("parts", name, "vary_notes")
    most = notes_per_bar[1]
    fewest_varied, most_varied = part.vary_notes or role.vary_notes
    if part.vary_notes is not None and most_varied > 0:
        in_part: list[KeyPath] = [("parts", name, key) for key in ("role", "repeat_every", "notes_per_bar")]
        if most_varied > most:
            wrong = f"{most_varied} notes cannot be varied in a bar of at most {most}"
            findings.report(path, wrong, f"use at most {most}", reads=[*in_part, *METRE_KEYS])
        elif repeat is None:
            right = "give repeat_every, shorter than the loop, or leave vary_notes out"
            findings.report(path, "the part does not repeat, so nothing varies", right, reads=[*in_part, *TIMING_KEYS])
    if repeat is None:
        return 0, 0
    return min(fewest_varied, most), min(most_varied, most)


def _texture(name: str, part: Part, role: Role, span: int, findings: Findings) -> str:
    texture = part.texture or default_texture(role, part.figure)
    at: KeyPath = ("parts", name, "texture")
    if part.figure == BROKEN and texture != SINGLE:
        wrong = f"a broken chord is played note by note, not in {texture}"
        right = 'write texture = "single", or leave figure out'
        findings.report(at, wrong, right, reads=[("parts", name, "figure")])
        return SINGLE
    if part.range is not None and span < LEAST_SPANS.get(texture, 0):
        wrong = f"a range of {span} semitones is too narrow for {texture}"
        right = f"widen it to {LEAST_SPANS[texture]} or more"
        findings.report(("parts", name, "range"), wrong, right, reads=[at, ("parts", name, "figure")])
    return texture


def _ornaments(name: str, part: Part, role: Role, frame: Frame, findings: Findings) -> str:
    """How many ornaments the part has. Struck chords and broken chords, whose hand is held still, have none."""
    texture = part.texture or default_texture(role, part.figure)
    decorated = texture == SINGLE and part.figure != BROKEN
    if part.ornaments is None:
        return frame.ornaments if decorated and role in (LEAD, COUNTER) else NONE
    if part.ornaments != NONE and not decorated:
        what = "a broken chord" if part.figure == BROKEN else texture
        reads: list[KeyPath] = [("parts", name, key) for key in ("role", "figure", "texture")]
        right = 'write ornaments = "none", or let the part play single notes'
        findings.report(("parts", name, "ornaments"), f"{what} cannot carry ornaments", right, reads=reads)
        return NONE
    return part.ornaments
