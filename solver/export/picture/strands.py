"""How a part's strand looks: its colour, how its rope is laid, the shape of its knots. No two parts share any."""

from __future__ import annotations

from dataclasses import dataclass

from solver.brief.plan import PartPlan, Plan


@dataclass(frozen=True)
class Strand:
    """One look. ``weight`` is the rope's thickness for a single note, ``lay`` the pattern on it, ``knot`` a shape."""

    index: int
    light: str  # colour on light paper
    dark: str  # colour on dark paper
    lay: str
    knot: str
    weight: float


# Dyes and fibres of cordage: madder, indigo, verdigris, manila, logwood, tar.
STRANDS = (
    Strand(0, "#a92f27", "#f28b7d", "right-laid", "round", 12.0),
    Strand(1, "#234a78", "#86b6ee", "left-laid", "square", 14.0),
    Strand(2, "#2a7362", "#74cfb5", "hollow", "diamond", 10.0),
    Strand(3, "#94630c", "#e3b55c", "served", "triangle", 10.0),
    Strand(4, "#733d7c", "#d0a0da", "plaited", "hexagon", 12.0),
    Strand(5, "#4c5158", "#bcc2ca", "whipped", "cross", 11.0),
)
_BY_ROLE = {"lead": 0, "low": 1, "background": 2, "chords": 3, "counter": 4}


def strands_of(plan: Plan) -> dict[str, Strand]:
    """The look of every part: by its role, and where two parts share a role, the next look that is free."""
    taken: dict[str, Strand] = {}
    later: list[PartPlan] = []
    for part in plan.parts:
        wanted = STRANDS[_BY_ROLE.get(part.role, 5)]
        if wanted in taken.values():
            later.append(part)
        else:
            taken[part.name] = wanted
    free = [strand for strand in reversed(STRANDS) if strand not in taken.values()]
    return taken | {part.name: free[index % len(free)] for index, part in enumerate(later)}


def thickness(strand: Strand, part: PartPlan, step: float) -> float:
    """The rope's thickness for a part: thinner where several notes lie close together in one stroke."""
    return min(strand.weight, 1.5 * step if part.is_line else 1.05 * step)


# The pattern on a rope one unit high and so wide that it repeats: path data in a tile of LAY_WIDTHS[lay] by 1.
LAYS = {
    "right-laid": "M-.2,1.1 C.25,.95 .35,.05 .8,-.1",
    "left-laid": "M-.2,-.1 C.3,.05 .5,.95 1,1.1",
    "hollow": "M0,.5 H1",
    "served": "M.2,0 V1",
    "plaited": "M0,-.05 L.4,.5 L0,1.05",
    "whipped": "M.3,0 V1 M.62,0 V1",
}
LAY_WIDTHS = {
    "right-laid": 0.62,
    "left-laid": 0.95,
    "hollow": 1.0,
    "served": 0.42,
    "plaited": 0.62,
    "whipped": 1.5,
}
LAY_STROKES = {
    "right-laid": 0.13,
    "left-laid": 0.13,
    "hollow": 0.4,
    "served": 0.14,
    "plaited": 0.13,
    "whipped": 0.14,
}

# Knots around (0, 0), about two units wide.
KNOTS = {
    "round": "M-1,0 A1,1 0 1 1 1,0 A1,1 0 1 1 -1,0 Z",
    "square": "M-.9,-.9 H.9 V.9 H-.9 Z",
    "diamond": "M0,-1.2 L1.1,0 L0,1.2 L-1.1,0 Z",
    "triangle": "M0,-1.15 L1.15,.9 L-1.15,.9 Z",
    "hexagon": "M-1.1,0 L-.55,-1 H.55 L1.1,0 L.55,1 H-.55 Z",
    "cross": "M-1.1,-.5 H-.5 V-1.1 H.5 V-.5 H1.1 V.5 H.5 V1.1 H-.5 V.5 H-1.1 Z",
}
