"""From a brief to its plan: every default filled in, every time in slots, and the checks that need several keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from solver.avoided import Avoidance, Avoided
from solver.brief.errors import BriefError, BriefErrors
from solver.brief.feel import feel_of
from solver.brief.findings import Finding, Findings
from solver.brief.no_repeat import unasked
from solver.brief.own_lines import check_files, check_keys, with_own_lines
from solver.brief.part_names import check_names
from solver.brief.part_plans import Frame, part_plan, role_of, statement_bars
from solver.brief.plan import PartPlan, Plan
from solver.brief.preferences import merit_weights
from solver.brief.roles import LOW
from solver.brief.source import Source, source_from_text
from solver.brief.timing import chord_lengths, chord_spans, repeat_unit
from solver.brief.titles import title_from
from solver.held import Held
from solver.music.chords import parse_chord
from solver.music.faults import Fault, TableFault
from solver.music.instruments import load_instruments
from solver.music.metre import Metre, parse_metre
from solver.music.scales import parse_key

if TYPE_CHECKING:
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief

Content = TypeVar("Content")


def plan_from(source: Source, avoided: Sequence[Avoided] | None = None, lines: Sequence[Held] | None = None) -> Plan:
    """The plan of a brief; the files that it names are read unless what is in them is given, see ``plan_from_text``.

    Raises BriefErrors with all that is wrong between its keys.
    """
    return _plan(source, Findings(), avoided, lines)


def plan_from_text(text: str, name: str, avoided: Sequence[Avoided] = (), lines: Sequence[Held] = ()) -> Plan:
    """The plan of a brief's text; ``name`` stands for its file's name without ``.toml``. Raises BriefErrors.

    A text has no folder in which files could be looked for: ``avoided`` are the references and ``lines`` the lines of
    one's own that a take recorded.
    """
    source, findings = source_from_text(text, Path(f"{name}.toml"))
    return _plan(source, findings, avoided, lines)


def checked(text: str, path: Path) -> Source:
    """The brief in a text, once nothing is wrong with it. Raises BriefErrors with everything that is."""
    source, findings = source_from_text(text, path)
    _plan(source, findings)
    return source


def _plan(
    source: Source,
    findings: Findings,
    avoided: Sequence[Avoided] | None = None,
    lines: Sequence[Held] | None = None,
) -> Plan:
    brief = source.brief
    instruments = _from_table(load_instruments)
    metre = _metre(brief.meter, brief.grid, findings)
    key = parse_key(brief.key)
    lengths = chord_lengths(brief, metre, statement_bars(brief), findings)
    alone = len(brief.parts) == 1
    frame = Frame(metre, brief.bars, repeat_unit(lengths, metre), alone, brief.ornaments)
    ranks = _ranks(brief.parts)
    parts: list[PartPlan] = [
        part_plan(name, part, ranks[name], frame, instruments, findings) for name, part in brief.parts.items()
    ]
    check_names(brief.parts, findings)  # last: a name that cannot be used says nothing against the part's keys
    weights = _from_table(lambda: merit_weights(brief.prefer, findings))
    feel = feel_of(brief, metre, findings)
    sources = tuple(avoided) if avoided is not None else _references(source, findings)
    check_keys(source, findings)
    if findings.found and lines is None:
        check_files(source, findings)
    if findings.found:
        raise source.errors(findings.found)
    plan = Plan(
        name=source.name,
        title=brief.title or title_from(source.name),
        key=key,
        tempo=float(brief.tempo),
        metre=metre,
        bars=brief.bars,
        spans=chord_spans(lengths, brief.bars * metre.grid, tuple(map(parse_chord, brief.chords)), key),
        parts=tuple(parts),
        seed=brief.seed,
        count=brief.count,
        weights=weights,
        feel=feel,
        avoid=Avoidance(sources, brief.longest_shared),
        notices=_unasked(brief, lengths, metre),
    )
    plan = with_own_lines(plan, source, findings, lines)
    if findings.found:
        raise source.errors(findings.found)
    return plan


def _unasked(brief: Brief, lengths: tuple[int, ...], metre: Metre) -> tuple[str, ...]:
    """What is said of parts that would repeat by default and cannot."""
    each = tuple(Fraction(length, metre.grid) for length in lengths)
    repeating = [
        name
        for name, part in brief.parts.items()
        if part.repeat_every is None and part.from_ is None and (role_of(name, part) or LOW).repeats
    ]
    return tuple(said for name in repeating if (said := unasked(name, brief.bars, each)))


def _references(source: Source, findings: Findings) -> tuple[Avoided, ...]:
    """What the brief's ``avoid`` names, as far as it can be read."""
    found = []
    for index, entry in enumerate(source.references):
        if isinstance(entry, Avoided):
            found.append(entry)
        else:
            # Each on its own: one file that cannot be read says nothing against the next.
            findings.found.append(Finding(("avoid", index), f"{source.brief.avoid[index]}: {entry.wrong}", entry.right))
    return tuple(found)


def _ranks(parts: dict[str, Part]) -> dict[str, int]:
    """Each part's place from high (0) to low: by role, and in the brief's order where a role occurs twice."""
    ordered = sorted(parts, key=lambda name: (role_of(name, parts[name]) or LOW).order)
    return {name: rank for rank, name in enumerate(ordered)}


def _metre(meter: str, grid: int | None, findings: Findings) -> Metre:
    try:
        return parse_metre(meter, grid)
    except Fault as fault:
        findings.report(("grid",), fault.wrong, fault.right, reads=[("meter",)])
        return parse_metre(meter)


def _from_table(read: Callable[[], Content]) -> Content:
    """What a table of the workspace holds. Raises BriefErrors where it cannot be read."""
    try:
        return read()
    except TableFault as fault:
        place = f"{fault.file}: {fault.key}" if fault.key else f"{fault.file}"
        raise BriefErrors([BriefError(place, None, None, fault.wrong, fault.right)]) from None
