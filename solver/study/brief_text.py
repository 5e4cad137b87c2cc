"""A brief that leads to something of the reference's kind: TOML, each line with its reason as a comment.

Nothing in it is a note of the reference. What this program's own rules would forbid (a low part that repeats itself
under a repeating lead, a background busier than the lead) is not asked for, and the line's comment says so.
"""

from __future__ import annotations

from fractions import Fraction

from solver.brief.part_names import MAX_PARTS
from solver.brief.titles import title_from
from solver.music.metre import DEFAULT_GRIDS
from solver.study.excerpt import excerpt_bars, first_bars
from solver.study.part_lines import part_lines
from solver.study.study import PartStudy, Study, study_of
from solver.study.toml_lines import Line, bare_key, rendered, shown, text_value

SLOWEST, FASTEST = 30, 300  # tempos of a brief
LONGEST_TITLE = 100
USUAL = ("lead", "low", "background")  # parts of a brief that is written from a sound
KEEP = ("lead", "low", "chords", "counter", "background")  # which roles go last where there are too many parts


class NoBrief(Exception):
    """Why no brief can be written, in words."""


def brief_text(study: Study) -> str:
    """The brief as TOML text. Raises NoBrief where a brief cannot say what the reference is."""
    part_of_it = _excerpt(study)
    parts = [(part.name, part_lines(part_of_it, part)) for part in _chosen(part_of_it)]
    return _text(study, _head(part_of_it, study), parts)


def estimated_brief_text(study: Study) -> str:
    """The brief for what is estimated of a sound, with the usual three parts, for the sound's own cannot be told apart.

    Raises NoBrief where a brief cannot say what the sound is.
    """
    head = [
        line if line.key == "title" else Line(line.key, line.value, "an estimate")
        for line in _head(_excerpt(study), study)
    ]
    return _text(study, head, [(role, [Line("role", text_value(role), "one of the usual three")]) for role in USUAL])


def _excerpt(study: Study) -> Study:
    """The stretch of the reference that the brief is for."""
    metre = study.loop.metre
    if (metre.numerator, metre.denominator) not in DEFAULT_GRIDS:
        raise NoBrief(f"a brief has no metre {metre.name}")
    bars = excerpt_bars(study.loop, study.harmony.pass_bars)
    return study if bars == study.bars else study_of(study.path, first_bars(study.loop, bars), sound=study.sound)


def _text(study: Study, head: list[Line], parts: list[tuple[str, list[Line]]]) -> str:
    lines = [
        f"# Written by study from {shown(study.path.name)}: a brief for something of its kind, not a copy of it.",
        "",
        *rendered(head),
    ]
    for name, keys in parts:
        lines += ["", f"[parts.{bare_key(name)}]", *rendered(keys)]
    return "\n".join(lines) + "\n"


def _head(study: Study, whole: Study) -> list[Line]:
    metre = study.loop.metre
    title = shown(title_from(study.path.stem)).strip()[:LONGEST_TITLE].strip()
    lines = [
        Line("title", text_value(title or "Untitled"), "the file's name"),
        Line("key", text_value(study.key.name), _key_reason(study)),
        _tempo(study),
        Line("meter", text_value(metre.name), "the bars as they were counted"),
        Line("bars", str(study.bars), _bars_reason(study, whole)),
        *_chords(study),
    ]
    if metre.grid != DEFAULT_GRIDS[metre.numerator, metre.denominator]:
        lines.append(Line("grid", str(metre.grid), "its onsets lie on this many slots a bar"))
    return lines


def _key_reason(study: Study) -> str:
    others = [key.name for key in study.keys.candidates[1:]]
    if study.keys.certain or not others:
        return "what its notes fit best"
    return f"the notes do not decide: {', '.join(others)} would do as well"


def _tempo(study: Study) -> Line:
    tempo = min(max(study.tempo, SLOWEST), FASTEST)
    reason = "quarter notes a minute, as the file says" if study.tempo_given else "the file gives none"
    if tempo != study.tempo:
        reason = f"the file says {study.tempo:g}, a brief goes from {SLOWEST} to {FASTEST}"
    return Line("tempo", f"{tempo:g}", reason)


def _bars_reason(study: Study, whole: Study) -> str:
    if study.bars == whole.bars:
        return "the file's length"
    if whole.bars > study.bars and whole.bars % study.bars == 0:
        return f"of the file's {whole.bars} bars, what makes up the loop"
    return f"the first of the file's {whole.bars} bars"


def _chords(study: Study) -> list[Line]:
    """The chord list and how long its chords last."""
    grid = study.loop.metre.grid
    spans = study.harmony.first_pass(grid)
    symbols = ", ".join(text_value(study.symbol(span)) for span in spans)
    times = study.bars // study.harmony.pass_bars
    if len(spans) == 1:
        return [Line("chords", f"[{symbols}]", "one chord explains the notes")]
    lengths = [Fraction(span.end - span.start, grid) for span in spans]
    value = _number(lengths[0]) if len(set(lengths)) == 1 else f"[{', '.join(map(_number, lengths))}]"
    heard = "heard once" if times == 1 else f"heard {times} times"
    return [
        Line("chords", f"[{symbols}]", f"the fewest chords that explain the notes, {heard}"),
        Line("chord_bars", value, "bars that each chord lasts"),
    ]


def _chosen(study: Study) -> list[PartStudy]:
    """The parts, from high to low; of more than a brief may have, those whose roles matter most."""
    parts = sorted(study.parts, key=lambda part: KEEP.index(part.role))[:MAX_PARTS]
    return [part for part in study.parts if part in parts]


def _number(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"
