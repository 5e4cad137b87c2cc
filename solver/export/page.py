"""index.html of a take: every arrangement with picture, player, merit card and downloads, without server or network."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.arrangement import Ranked
from solver.brief.plan import Plan
from solver.check import excuse_lines
from solver.export.picture import Layout, describe, layout_of
from solver.export.picture.layout import WIDTH
from solver.study.nearest import MEASURE, nearest_words

if TYPE_CHECKING:
    from solver.takes.record import TakeHeader

TEMPLATES = Path(__file__).parent / "templates"
NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")


def page_html(plan: Plan, header: TakeHeader, sound: str, arrangements: list[Ranked]) -> str:
    """The page of a take whose arrangements' files lie beside it as ``1.svg``, ``1.wav``, ``1.mid`` and so on."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
    return environment.get_template("take.html").render(
        title=plan.title,
        facts=_facts(plan),
        opening=_opening(len(arrangements)),
        arrangements=[_item(plan, number, ranked) for number, ranked in enumerate(arrangements, start=1)],
        sound=sound,
        origin=_origin(header),
        brief_name=header.brief_name,
        brief_text=header.brief_text,
        measure=MEASURE,
        maker=f"Made with sennit {header.sennit}",
    )


def _facts(plan: Plan) -> str:
    chords = " – ".join(span.chord.symbol for span in plan.spans if span.pass_index == 0)
    bars = "1 bar" if plan.bars == 1 else f"{plan.bars} bars"
    return f"{plan.key.name} · {plan.tempo:g} quarter notes a minute · {plan.metre.name} · {bars} · {chords}"


def _opening(count: int) -> str:
    if count == 1:
        return "One arrangement of the brief."
    words = NUMBERS[count] if count < len(NUMBERS) else str(count)
    return f"{words} arrangements of one brief, best first. Each is a loop."


def _item(plan: Plan, number: int, ranked: Ranked) -> dict[str, Any]:
    """What the template needs to know of one arrangement."""
    layout = layout_of(plan, ranked.arrangement)
    whole = sum(mark.weight for mark in ranked.marks)
    return {
        "number": number,
        "total": f"{ranked.total:.1f}",
        "proof": ranked.proof,
        "summary": _sentence(ranked.summary),
        "width": round(WIDTH),
        "height": round(layout.height),
        "rows": _rows(plan, layout),
        "alt": describe(plan, ranked.arrangement),
        "excused": [_sentence(line) for line in excuse_lines(plan, ranked.excused)],
        "nearest": [nearest_words(entry) for entry in ranked.nearest],
        "marks": [
            {
                "merit": mark.merit,
                "points": f"{mark.points:.0f}",
                "sentence": _sentence(mark.sentence),
                "share": f"{100 * mark.weight / whole:.1f}" if whole else "",
            }
            for mark in ranked.marks
        ],
    }


def _rows(plan: Plan, layout: Layout) -> list[dict[str, float]]:
    """Where the loop's time runs in the picture: shares of the loop, and places in percent of the picture's size."""
    return [
        {
            "start": round(row.start / plan.slots, 6),
            "end": round(row.end / plan.slots, 6),
            "left": round(100 * layout.x(row, row.start) / WIDTH, 3),
            "right": round(100 * layout.x(row, row.end) / WIDTH, 3),
            "top": round(100 * row.top / layout.height, 3),
            "height": round(100 * (row.bottom - row.top) / layout.height, 3),
        }
        for row in layout.rows
    ]


def _origin(header: TakeHeader) -> list[tuple[str, str]]:
    """Seed, versions, and for a rework where it came from."""
    facts = [("Seed", str(header.seed))]
    facts += [(name.capitalize(), f"{value}") for name, value in header.options.items() if value is not None]
    clear_of = [*(reference.name for reference in header.references), *header.avoided_takes]
    if clear_of:
        facts.append(("Kept clear of", ", ".join(clear_of)))
    if header.parent:
        facts.append(("Made from", f"arrangement {header.parent.arrangement} of {header.parent.take}"))
    if header.locks:
        facts.append(("Kept", ", ".join(header.locks)))
    if header.changes:
        facts.append(("Changed", ", ".join(header.changes)))
    if header.compared:
        facts.append(("Compared", header.compared))
    facts.append(("Versions", ", ".join(f"{name} {version}" for name, version in header.versions.items())))
    return facts


def _sentence(words: str) -> str:
    """Words as a sentence: a capital first, a full stop last."""
    words = words.strip()
    if not words:
        return ""
    return words[:1].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")
