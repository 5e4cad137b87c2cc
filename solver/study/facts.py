"""A study as plain data for other programs (``--json``)."""

from __future__ import annotations

from typing import Any

from solver.study.brief_text import NoBrief, brief_text
from solver.study.excerpt import period_of
from solver.study.form import Repeat, change_at, form_words
from solver.study.seam import leads_back
from solver.study.spelling import pitch_name
from solver.study.study import PartStudy, Study
from solver.study.together import Together, together


def facts_of(study: Study) -> dict[str, Any]:
    """Everything that was found. Places are pairs of bar and beat, both from 1; ``chords`` has one symbol a bar."""
    common = together(study)
    return {
        "file": str(study.path),
        "key": study.key.name,
        "key_certain": study.keys.certain,
        "key_candidates": [key.name for key in study.keys.candidates],
        "tempo": study.tempo,
        "tempo_given": study.tempo_given,
        "meter": study.loop.metre.name,
        "grid": study.loop.metre.grid,
        "bars": study.bars,
        "loop_bars": period_of(study.loop),
        "pass_bars": study.harmony.pass_bars,
        "chords": list(study.chords),
        "chord_changes": [
            {"at": _place(study, span.start), "chord": study.symbol(span)} for span in study.harmony.spans
        ],
        "leads_back": all(leads_back(study, part) for part in study.parts),
        "parts": {part.name: _part(study, part) for part in study.parts},
        "together": _together(study, common) if common else None,
        "remarks": list(study.loop.remarks),
        "brief": _brief(study),
    }


def _part(study: Study, part: PartStudy) -> dict[str, Any]:
    rhythm, moves, repeat = part.rhythm, part.moves, part.repeat
    return {
        "role": part.role,
        "reason": part.reason,
        "range": f"{pitch_name(part.low, study.key)}..{pitch_name(part.high, study.key)}",
        "instrument": part.instrument.name if part.instrument else None,
        "texture": part.texture,
        "figure": part.figure,
        "motion": part.motion,
        "notes_per_bar": list(rhythm.per_bar),
        "silent_bars": rhythm.silent_bars,
        "cell": rhythm.cell,
        "cell_bars": [bar + 1 for bar in rhythm.cell_bars],
        "rhythm_repeats_every": rhythm.repeats,
        "syncopation": round(rhythm.syncopation, 2),
        "repeat_every": repeat.every if repeat else None,
        "varied": [_place(study, slot) for slot in repeat.varied] if repeat else [],
        "changes": [_change(study, part, repeat, slot) for slot in repeat.varied] if repeat else [],
        "form": form_words(part.sections),
        "sections": [{"name": section.name, "bar": section.start + 1} for section in part.sections],
        "moves": {"repeats": moves.repeats, "steps": moves.steps, "leaps": moves.leaps, "largest": moves.largest},
        "held": [_place(study, slot) for slot in rhythm.held],
        "supplies": {entry.chord.symbol: list(entry.supplied.get(part.name, ())) for entry in study.coverage},
        "own_notes": {entry.chord.symbol: list(entry.own.get(part.name, ())) for entry in study.coverage},
    }


def _change(study: Study, part: PartStudy, repeat: Repeat, slot: int) -> dict[str, Any]:
    """What a return plays at a place where it differs, and what the first statement has there."""
    now, before = (
        [pitch_name(pitch, study.key) for pitch in pitches]
        for pitches in change_at(study.loop, part.part, repeat, slot)
    )
    return {"at": _place(study, slot), "now": now, "before": before}


def _together(study: Study, common: Together) -> dict[str, Any]:
    outer = common.outer
    return {
        "gaps": [{"upper": pair.upper, "lower": pair.lower, "semitones": pair.gap} for pair in common.registers],
        "starts": common.starts,
        "starts_shared": common.shared,
        "outer": {"contrary": outer.contrary, "similar": outer.similar, "oblique": outer.oblique} if outer else None,
        "bass_under_returns": [
            {"at": _place(study, entry.slot), "pitch": _pitch(study, entry.pitch)} for entry in common.returns
        ],
        "blend": common.blend,
        "roughness": common.roughness,
    }


def _pitch(study: Study, pitch: int | None) -> str | None:
    return None if pitch is None else pitch_name(pitch, study.key)


def _place(study: Study, slot: int) -> list[float]:
    bar, beat = study.loop.metre.bar_and_beat(slot)
    return [bar, round(beat, 4)]


def _brief(study: Study) -> str | None:
    try:
        return brief_text(study)
    except NoBrief:
        return None
