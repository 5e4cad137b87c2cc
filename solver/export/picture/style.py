"""The picture's style sheet and patterns: light paper by default, dark where the reader's system is dark."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement

from solver.export.picture.strands import LAY_STROKES, LAY_WIDTHS, LAYS, Strand

# (name, light, dark)
PAPER = ("#fbf7ee", "#15191e")
BAND = ("#f1ead9", "#1d232a")
INK = ("#2b2622", "#ece5d8")
SOFT_INK = ("#6d6357", "#a9a295")
RULE = ("#cfc4b0", "#3b424b")
FAINT = ("#e2d9c6", "#2a3037")


def style_sheet(strands: list[Strand]) -> str:
    """CSS for the strands used, with a second set of colours for dark paper; print is always on light paper."""
    rules = [
        "text{font-family:'Avenir Next','Segoe UI','Noto Sans','DejaVu Sans',sans-serif;font-size:14px}",
        ".title{font-size:27px;font-weight:600;letter-spacing:.2px}",
        ".sub{font-size:15px}",
        ".chord{font-size:17px;font-weight:600}",
        ".tight{font-size:13px;letter-spacing:-.3px}",
        ".again{font-weight:400}",
        ".tonic{font-weight:700}",
        ".small{font-size:13px}",
        ".thread,.ring,.casing,.flag-pole{fill:none;stroke-linecap:round;stroke-linejoin:round}",
        ".thread{stroke-width:1.8}",
        ".casing{stroke-width:6}",
        ".ring{stroke-width:2.6;stroke-dasharray:1 4.2}",
        ".ornament{fill:none;stroke-width:2.4;stroke-linejoin:round;stroke-linecap:round}",
        ".bind{stroke-width:2.6;stroke-linecap:round}",
        ".bar{stroke-width:1.2}",
        ".beat{stroke-width:1}",
        ".root{stroke-width:1.1;stroke-dasharray:7 4}",
        ".tone{stroke-width:1}",
        ".flag-pole{stroke-width:1.6}",
        ".edge{stroke-width:1.5}",
    ]
    return "\n".join(
        (
            *rules,
            *_colours(strands, dark=False),
            "@media screen and (prefers-color-scheme:dark){",
            *_colours(strands, dark=True),
            "}",
        )
    )


def _colours(strands: list[Strand], dark: bool) -> list[str]:
    """Every rule that depends on the paper."""
    paper, band, ink, soft, rule, faint = (pair[dark] for pair in (PAPER, BAND, INK, SOFT_INK, RULE, FAINT))
    rules = [
        f".paper{{fill:{paper}}}",
        f".band{{fill:{band}}}",
        f".title,.chord,.tonic,.name,.bar-number{{fill:{ink}}}",
        f".sub,.soft,.again{{fill:{soft}}}",
        f".casing,.edge{{stroke:{paper}}}",
        f".bar{{stroke:{rule}}}",
        f".beat,.tone{{stroke:{faint}}}",
        f".root{{stroke:{rule}}}",
        f".flag{{fill:{ink}}}",
        f".flag-pole{{stroke:{ink}}}",
        f".lay{{stroke:{paper}}}",
        f".open{{fill:{paper}}}",
    ]
    for strand in strands:
        colour = strand.dark if dark else strand.light
        rules.append(f".f{strand.index}{{fill:{colour}}}")
        rules.append(f".s{strand.index}{{stroke:{colour}}}")
        rules.append(f".knot.k{strand.index}{{fill:{colour};stroke:{paper}}}")
        rules.append(f".open.k{strand.index}{{fill:{paper};stroke:{colour}}}")
    return rules


def add_pattern(parent: Element, strand: Strand, height: float) -> None:
    """The pattern of a strand's rope at a thickness, to be filled over its colour."""
    width = LAY_WIDTHS[strand.lay] * height
    pattern = SubElement(
        parent,
        "pattern",
        {
            "id": f"lay-{strand.index}",
            "width": f"{width:.2f}",
            "height": f"{height:.2f}",
            "patternUnits": "userSpaceOnUse",
        },
    )
    # Three copies side by side, so that a line that leaves the tile at one side enters it at the other.
    for shift in (-1, 0, 1):
        SubElement(
            pattern,
            "path",
            {
                "class": "lay",
                "d": LAYS[strand.lay],
                "fill": "none",
                "stroke-width": f"{LAY_STROKES[strand.lay]:.2f}",
                "transform": f"translate({shift * width:.2f} 0) scale({height:.2f})",
            },
        )
