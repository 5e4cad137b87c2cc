"""Whether the end of a loop leads back to its beginning."""

from __future__ import annotations

from solver.music.scales import is_step, scale_under_chord
from solver.study.spelling import chord_of, pitch_name
from solver.study.study import PartStudy, Study


def leads_back(study: Study, part: PartStudy) -> bool:
    """Whether a part's last note goes to its first as its other notes go to each other: by no larger leap."""
    tops = part.part.tops
    return abs(tops[-1][1] - tops[0][1]) <= max(part.moves.largest, 2)


def seam_sentences(study: Study) -> list[str]:
    """How the end meets the beginning: the chords, and the low part or the only one."""
    found = []
    first, last = study.harmony.spans[0], study.harmony.spans[-1]
    one, other = study.symbol(first), study.symbol(last)
    if one != other:
        found.append(f"The end leads back from {other} to {one}.")
    carriers = study.with_role("low") or study.parts
    part = carriers[-1]
    (_, start), (onset, end) = part.part.tops[0], part.part.tops[-1]
    names = f"{pitch_name(end, study.key)} ({study.loop.place(onset)}) to {pitch_name(start, study.key)}"
    scale = scale_under_chord(study.key, chord_of(last.chord, study.key))
    if end == start:
        found.append(f"The last note of {part.name}, {pitch_name(end, study.key)}, is the one it begins with.")
    elif is_step(end, start, scale):
        found.append(f"{part.name} leads back by step: {names}.")
    elif leads_back(study, part):
        found.append(f"{part.name} leads back from {names}.")
    else:
        found.append(f"{part.name} does not lead back smoothly: {names} is a larger leap than any before.")
    return found
