"""``sennit check``: says whether a brief can be satisfied, or holds a MIDI file against it rule by rule."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from solver.commands.ending import DONE, REFUSED, WRONG, Ending, input_errors
from solver.commands.printing import Column, print_json, print_line, print_table
from solver.commands.values import NamedPath

if TYPE_CHECKING:
    from solver.arrangement import Note
    from solver.brief.plan import Plan
    from solver.brief.source import Source
    from solver.rules.rule import Breach

COLUMNS = (
    Column("part"),
    Column("bar", right=True),
    Column("beat", right=True),
    Column("rule", wraps=True),
    Column("why", wraps=True),
)
RECORD = "take.json"
TOGETHER = "all"  # stands for the part where a rule is about the parts together


@click.command(short_help="Hold a brief, or a MIDI file against it, to the rules.")
@click.argument("brief", type=NamedPath("briefs/ferry-lights.toml"))
@click.argument("midi", metavar="[FILE.mid]", required=False, type=NamedPath("edited.mid"))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def check(brief: Path, midi: Path | None, as_json: bool) -> int:
    """Say whether BRIEF can be satisfied. With FILE.mid: hold that file against it, rule by rule.

    Any MIDI file of the brief's parts will do, one edited by hand as well. Breaches are listed with part, bar and beat.
    In place of BRIEF a take will do: its own brief counts then, and what its locked notes are excused for is no breach.
    """
    from solver.brief.planning import plan_from, plan_from_text
    from solver.brief.reader import read_brief
    from solver.take import read_take

    with input_errors():
        if brief.is_dir() and (brief / RECORD).is_file():
            if midi is None:
                raise Ending(WRONG, f"{brief}: this is a take; name the MIDI file to hold against it, or give a brief")
            take = read_take(brief)
            header = take.header
            plan = plan_from_text(header.brief_text, header.brief_name, header.references, header.lines)
            excused = [breach for ranked in take.arrangements for breach in ranked.excused]
            return _check_file(brief, plan, midi, as_json, excused)
        source = read_brief(brief)
        plan = plan_from(source)
        if midi is None:
            return _check_brief(source, plan, as_json)
        return _check_file(brief, plan, midi, as_json)


def _check_brief(source: Source, plan: Plan, as_json: bool) -> int:
    from solver.commands.interrupt import Interrupt
    from solver.commands.progress import ProgressLine, shown
    from solver.commands.searching import Request, search

    with Interrupt() as interrupt:
        line = ProgressLine(1, interrupt)
        with shown(line):
            # The first solution of any rhythm is an answer; that it could be better does not matter here.
            request = Request(1, plan.seed, source=source)
            searched = search(plan, request, interrupt, line.search, enough=lambda: line.best is not None)
    found = bool(searched.arrangements)
    satisfiable = True if found else False if searched.code == REFUSED else None
    reason = "" if found else searched.remarks[0]
    if as_json:
        facts = {"brief": str(source.path), "satisfiable": satisfiable, "reason": reason}
        facts |= {"remarks": plan.notices}
        print_json({**facts, "conflicts": searched.conflicts})
    elif found:
        for notice in plan.notices:
            print_line(f"{source.path}: {notice}")
        print_line(f"{source.path}: can be satisfied")
    if not found:
        raise Ending(searched.code, f"{source.path}: {searched.refusal}")
    return DONE


def _check_file(brief: Path, plan: Plan, midi: Path, as_json: bool, excused: Iterable[Breach] = ()) -> int:
    from solver.check import breaches, excuse_lines
    from solver.export.midi_reading import read_midi

    reading = read_midi(midi, plan)
    places = {(breach.rule, breach.part, breach.slot) for breach in excused}
    every = breaches(plan, reading.arrangement)
    found = [breach for breach in every if (breach.rule, breach.part, breach.slot) not in places]
    let_off = [breach for breach in every if (breach.rule, breach.part, breach.slot) in places]
    if as_json:
        rows = [_data(plan, breach) for breach in found]
        facts = {"brief": str(brief), "file": str(midi), "remarks": reading.remarks, "breaches": rows}
        ornaments = [_ornament(plan, note) for note in reading.arrangement.notes if note.ornament]
        facts |= {"ornaments": ornaments} if ornaments else {}
        facts |= {"excused": [_data(plan, breach) for breach in let_off]} if let_off else {}
        print_json(facts)
        return REFUSED if found else DONE
    for remark in reading.remarks:
        print_line(f"{midi}: {remark}")
    for note in reading.arrangement.notes:
        if note.ornament:
            print_line(f"{midi}: {note.part}, {plan.place(note.onset)}: a {note.ornament}")
    for line in excuse_lines(plan, let_off):
        print_line(f"{midi}: excused: {line}")
    if found:
        print_table(COLUMNS, [_row(plan, breach) for breach in found])
        print_line()
        rules = len({breach.rule for breach in found})
        print_line(f"{midi}: {_count(len(found), 'breach', 'breaches')} of {_count(rules, 'rule', 'rules')}")
        return REFUSED
    print_line(f"{midi}: keeps every {'other ' if let_off else ''}rule of {brief}")
    return DONE


def _data(plan: Plan, breach: Breach) -> dict[str, Any]:
    bar, beat = plan.metre.bar_and_beat(breach.slot)
    return {"rule": breach.rule, "part": breach.part, "bar": bar, "beat": beat, "why": breach.why}


def _ornament(plan: Plan, note: Note) -> dict[str, Any]:
    bar, beat = plan.metre.bar_and_beat(note.onset)
    return {"ornament": note.ornament, "part": note.part, "bar": bar, "beat": beat}


def _row(plan: Plan, breach: Breach) -> tuple[str, ...]:
    bar, beat = plan.metre.bar_and_beat(breach.slot)
    return breach.part or TOGETHER, str(bar), f"{beat:g}", breach.rule, breach.why


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
