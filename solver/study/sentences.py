"""What was found, in plain sentences with bar and beat: the piece first, then each part, then the parts together."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from solver.study.excerpt import period_of
from solver.study.part_sentences import listed, part_sentences
from solver.study.seam import seam_sentences
from solver.study.spelling import pitch_name
from solver.study.study import Study
from solver.study.together import Together, together


@dataclass(frozen=True)
class Paragraph:
    """A heading and sentences."""

    heading: str
    sentences: tuple[str, ...]


def paragraphs(study: Study) -> tuple[Paragraph, ...]:
    """Everything that was found, in words."""
    found = [Paragraph("The piece", tuple(_piece(study)))]
    for part in study.parts:
        found.append(Paragraph(f"{part.name} ({part.role})", tuple(part_sentences(study, part))))
    common = together(study)
    if common is not None:
        found.append(Paragraph("Together", tuple(_together(study, common))))
    return tuple(found)


def _piece(study: Study) -> list[str]:
    loop = study.loop
    bars = "1 bar" if loop.bars == 1 else f"{loop.bars} bars"
    tempo = f"at {study.tempo:g} quarter notes a minute" if study.tempo_given else "without a tempo"
    found = [f"{bars} of {loop.metre.name} {tempo}, on a grid of {loop.metre.grid} slots a bar.", *loop.remarks]
    period = period_of(loop)
    if period < loop.bars:
        found.append(f"Everything comes again exactly after {period} bars.")
    found += _key(study)
    found += _chords(study)
    found += seam_sentences(study)
    return found


def _key(study: Study) -> list[str]:
    others = [key.name for key in study.keys.candidates[1:]]
    if study.keys.certain or not others:
        found = [f"The key is {study.key.name}."]
    else:
        found = [f"The notes do not decide the key: {study.key.name} first, then {listed(others)}."]
    if study.signature and study.signature != study.key.name:
        found.append(f"The file itself states {study.signature}.")
    return found


def _chords(study: Study) -> list[str]:
    grid = study.loop.metre.grid
    spans = study.harmony.first_pass(grid)
    if len(study.harmony.spans) == 1:
        return [f"One chord explains the notes: {study.symbol(spans[0])}."]
    lasting = [f"{study.symbol(span)} for {_lasting((span.end - span.start) / grid)}" for span in spans]
    times = study.bars // study.harmony.pass_bars
    chords = "Two chords" if len({study.symbol(span) for span in spans}) == 2 else "The chords"
    again = f"; the list is heard {times} times" if times > 1 else ""
    found = [f"{chords}: {listed(lasting)}{again}."]
    for coverage in study.coverage:
        if coverage.missing:
            found.append(f"Nobody plays the {listed(list(coverage.missing))} of {coverage.chord.symbol}.")
    return found


def _together(study: Study, common: Together) -> list[str]:
    found = []
    for pair in common.registers:
        if pair.gap > 0:
            gap = "1 semitone" if pair.gap == 1 else f"{pair.gap} semitones"
            found.append(f"The lowest note of {pair.upper} lies {gap} above the highest of {pair.lower}.")
        elif pair.gap < 0:
            found.append(f"The registers of {pair.upper} and {pair.lower} overlap by {1 - pair.gap} semitones.")
        else:
            found.append(f"The lowest note of {pair.upper} is the highest of {pair.lower}.")
    found.append(f"Parts start together in {common.shared} of the {common.starts} places where anything starts.")
    if common.outer is not None:
        total = common.outer.contrary + common.outer.similar + common.outer.oblique
        found.append(
            f"Where the highest and the lowest part start together, they move against each other "
            f"{common.outer.contrary} times of {total}, the same way {common.outer.similar} times."
        )
    if len(common.returns) > 1:
        names = [
            pitch_name(entry.pitch, study.key) if entry.pitch is not None else "nothing" for entry in common.returns
        ]
        changes = "moves on" if len(set(names)) > 1 else "stays"
        found.append(f"Under the lead's statements the low part {changes}: {', '.join(names)}.")
    found.append(f"How hard the parts are to count: {common.blend}.")
    found.append(f"Roughness: {common.roughness}.")
    return found


def _lasting(bars: float) -> str:
    return "1 bar" if bars == 1 else f"{bars:g} bars"


def runs(names: list[str]) -> list[str]:
    """Equal neighbours once, with their number: ``["Bm", "Bm", "G"]`` as ``["Bm (2)", "G"]``."""
    counted = [(name, len(list(group))) for name, group in groupby(names)]
    return [name if number == 1 else f"{name} ({number})" for name, number in counted]
