"""Notes as rope and threads: the shapes of one part within one row.

A note is a taut stretch of rope at its pitch with a knot where it starts. From its end a thread runs on to the next
note: the part stays one strand from the loop's start to its end, and hangs slack where it rests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement

from solver.arrangement import Arrangement, Note
from solver.brief.plan import PartPlan, Plan
from solver.export.picture.layout import Layout, Row
from solver.export.picture.strands import KNOTS, Strand
from solver.music.ornaments import RUN
from solver.ornaments import Piece

GAP = 0.42  # slots between a rope's end and the next knot, where the thread bends
MOST_SAG = 16.0
SAG = 2.2  # how far a thread hangs for each slot of rest
KNOT = 0.62  # half the width of a knot, in thicknesses of its rope
LEAST_KNOT = 4.6
ROUND = 0.42  # rounding of a rope's ends, in thicknesses
WHIPPING = 4.0  # length of a rope's plain end
FLAG_HEIGHT = 21.0
KNOT_EDGE, OPEN_EDGE = 1.6, 3.0


@dataclass(frozen=True)
class Stretch:
    """A note as drawn: ``rest`` is where its rope ends, ``ring`` where its sound ends, in slots of the loop."""

    note: Note
    onset: float
    rope_end: float
    ring_end: float
    outside: bool
    varied: bool


@dataclass(frozen=True)
class Thread:
    """A thread from one note's end to the next one's start, in slots of the loop and pitches."""

    start: float
    end: float
    from_pitch: int
    to_pitch: int
    slack: float  # slots of rest
    over: bool  # whether it lies over the threads that cross it


def stretches_of(
    plan: Plan, arrangement: Arrangement, part: PartPlan, outside: frozenset[Note], varied: frozenset[Note]
) -> list[Stretch]:
    """The notes of a part as stretches of rope; each ends where the part strikes again, though it may ring on."""
    strokes = arrangement.strokes(part.name)
    found: list[Stretch] = []
    for index, stroke in enumerate(strokes):
        onset = stroke[0].onset
        following = strokes[(index + 1) % len(strokes)][0].onset + (plan.slots if index + 1 == len(strokes) else 0)
        for note in stroke:
            end = min(note.end, following)
            tight = end - GAP if end == following else end - GAP / 2
            found.append(Stretch(note, onset, tight, note.end, note in outside, note in varied))
    return found


def threads_of(plan: Plan, arrangement: Arrangement, part: PartPlan, turn: int) -> list[Thread]:
    """The threads of a part, the last of which leads back to the loop's start. ``turn`` says which lie over first."""
    strokes = arrangement.strokes(part.name)
    found: list[Thread] = []
    for index, stroke in enumerate(strokes):
        last = index + 1 == len(strokes)
        following = strokes[0] if last else strokes[index + 1]
        start = min(max(note.end for note in stroke), following[0].onset + (plan.slots if last else 0))
        end = following[0].onset + (plan.slots if last else 0)
        slack = max(0, end - start)
        for here, there in _pairs(stroke, following):
            found.append(
                Thread(start - GAP if slack == 0 else start - GAP / 2, end, here, there, slack, (index + turn) % 2 == 0)
            )
    return found


def _pairs(stroke: tuple[Note, ...], following: tuple[Note, ...]) -> list[tuple[int, int]]:
    """Which pitch leads to which: yarns in order from the lowest; where the numbers differ, the outer ones share."""
    most = max(len(stroke), len(following))
    here = [stroke[min(index, len(stroke) - 1)].pitch for index in range(most)]
    there = [following[min(index, len(following) - 1)].pitch for index in range(most)]
    return list(dict.fromkeys(zip(here, there, strict=True)))


def draw_thread(parent: Element, layout: Layout, row: Row, thread: Thread, strand: Strand, shift: int) -> None:
    """A thread with a casing in the paper's colour, so that it seems to pass over what it crosses."""
    x1, x2 = layout.x(row, thread.start + shift), layout.x(row, thread.end + shift)
    y1, y2 = layout.y(row, thread.from_pitch), layout.y(row, thread.to_pitch)
    bend = max((x2 - x1) * 0.5, 3.0)
    sag = min(MOST_SAG, SAG * thread.slack)
    path = f"M{x1:.1f},{y1:.1f} C{x1 + bend:.1f},{y1 + sag:.1f} {x2 - bend:.1f},{y2 + sag:.1f} {x2:.1f},{y2:.1f}"
    SubElement(parent, "path", {"class": "casing", "d": path})
    SubElement(parent, "path", {"class": f"thread s{strand.index}", "d": path})


def draw_rope(parent: Element, layout: Layout, row: Row, stretch: Stretch, strand: Strand, thick: float) -> None:
    """The taut rope of a note, and the dotted line of its ring beyond it."""
    x1, x2 = layout.x(row, stretch.onset), layout.x(row, stretch.rope_end)
    y = layout.y(row, stretch.note.pitch)
    if stretch.ring_end - stretch.rope_end > 1:
        path = f"M{x2:.1f},{y:.1f} H{layout.x(row, stretch.ring_end) - 4:.1f}"
        SubElement(parent, "path", {"class": f"ring s{strand.index}", "d": path})
    rope_at(parent, x1, y, x2 - x1, strand, thick)


def rope_at(parent: Element, x: float, y: float, width: float, strand: Strand, thick: float) -> None:
    """A piece of a strand's rope from a point to the right; its end is whipped, so it shows the plain colour."""
    group = SubElement(parent, "g", {"transform": f"translate({x:.1f} {y - thick / 2:.1f})"})
    height = f"{thick:.1f}"
    whole = {"width": f"{width:.1f}", "height": height, "rx": f"{thick * ROUND:.1f}"}
    SubElement(group, "rect", {"class": f"edge f{strand.index}", **whole})
    if width > 2 * WHIPPING:
        laid = {"width": f"{width - WHIPPING:.1f}", "height": height, "rx": "1"}
        SubElement(group, "rect", {"fill": f"url(#lay-{strand.index})", **laid})


def draw_knot(parent: Element, layout: Layout, row: Row, stretch: Stretch, strand: Strand, thick: float) -> None:
    """The knot where a note starts, open outside the chord; with a flag where the note is varied."""
    x, y = layout.x(row, stretch.onset), layout.y(row, stretch.note.pitch)
    knot_at(parent, x, y, strand, thick, stretch.outside)
    if stretch.varied:
        flag_at(parent, x, y - thick * KNOT)


def knot_at(parent: Element, x: float, y: float, strand: Strand, thick: float, is_open: bool) -> None:
    """A knot of a strand at a point."""
    size = max(LEAST_KNOT, thick * KNOT)
    kind = "open" if is_open else "knot"
    SubElement(
        parent,
        "path",
        {
            "class": f"{kind} k{strand.index}",
            "d": KNOTS[strand.knot],
            "stroke-width": f"{(OPEN_EDGE if is_open else KNOT_EDGE) / size:.2f}",
            "transform": f"translate({x:.1f} {y:.1f}) scale({size:.2f})",
        },
    )


def flag_at(parent: Element, x: float, y: float) -> None:
    """A flag on a pole that stands on a point."""
    top = y - FLAG_HEIGHT
    SubElement(parent, "path", {"class": "flag-pole", "d": f"M{x:.1f},{y:.1f} V{top:.1f}"})
    SubElement(parent, "path", {"class": "flag", "d": f"M{x:.1f},{top:.1f} l11,4.5 l-11,4.5 Z"})


def draw_binding(parent: Element, layout: Layout, row: Row, stroke: tuple[Note, ...], strand: Strand) -> None:
    """The line that ties the notes of one stroke together."""
    x = layout.x(row, stroke[0].onset)
    low, high = layout.y(row, stroke[0].pitch), layout.y(row, stroke[-1].pitch)
    SubElement(
        parent,
        "line",
        {
            "class": f"bind s{strand.index}",
            "x1": f"{x:.1f}",
            "x2": f"{x:.1f}",
            "y1": f"{low:.1f}",
            "y2": f"{high:.1f}",
        },
    )


def draw_ornament(
    parent: Element, layout: Layout, row: Row, note: Note, pieces: Sequence[Piece], strand: Strand
) -> None:
    """The way that an ornament takes, each of its notes at its time and pitch, from where it leaves its note."""
    first = next((index for index, piece in enumerate(pieces) if piece.added), None)
    if first is None:
        return
    begins = first - 1 if note.ornament != RUN else first
    ways = [(layout.x(row, note.onset + piece.after), layout.y(row, piece.pitch)) for piece in pieces[begins:]]
    path = "M" + " L".join(f"{x:.1f},{y:.1f}" for x, y in ways)
    SubElement(parent, "path", {"class": "casing", "d": path})
    SubElement(parent, "path", {"class": f"ornament s{strand.index}", "d": path})
