"""How the study of sound does on renders of reference loops, by mir_eval (Raffel et al. 2014, ISMIR).

Key: the weighted score of MIREX; chords: the share of time in which major or minor triads agree ("majmin"); notes: F1
of beginnings alone, and of beginnings with pitch, within 50 ms.
"""

from __future__ import annotations

import re
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import mir_eval
import numpy as np

from solver.export.sound.sampled import SampledPlayer
from solver.music.metre import parse_metre
from solver.study.audio.study import AudioStudy, study_audio
from tests.study.audio.renders import bar_seconds, played, rendered, write
from tests.study.writing import ReferenceLoop, read_loop

LATER = 60.0  # seconds added to all times: a bar may begin before its file, and mir_eval wants times above 0
MINOR_MODES, MAJOR_MODES = ("minor", "dorian", "phrygian"), ("major", "mixolydian", "lydian")


@dataclass(frozen=True)
class Scores:
    """Figures of one loop from 0 to 1; ``tempo`` says whether it was found within 2 %."""

    name: str
    tempo: bool
    key: float
    candidate: bool
    chords: float
    onsets: float
    notes: float


def scores(name: str, sampled: SampledPlayer | None = None) -> Scores:
    """A loop rendered, studied in its own metre, and held against its truth."""
    loop = read_loop(name)
    with tempfile.TemporaryDirectory() as folder:
        path = write(Path(folder) / f"{name}.wav", rendered(name, sampled))
        heard = study_audio(path, parse_metre("/".join(map(str, loop.metre))))
    onsets, notes = _notes(name, heard)
    truth = _key(loop.brief["key"])
    return Scores(
        name,
        abs(heard.study.tempo / loop.brief["tempo"] - 1) < 0.02,
        mir_eval.key.weighted_score(truth, _key(heard.study.key.name)),
        truth in [_key(key.name) for key in heard.study.keys.candidates],
        _chords(loop, heard),
        onsets,
        notes,
    )


def _key(name: str) -> str:
    """A key as mir_eval knows it: church modes by their third."""
    tonic, mode = name.split(" ", 1)
    return f"{tonic} {'minor' if mode.split()[-1] in MINOR_MODES else 'major'}"


def _chords(loop: ReferenceLoop, heard: AudioStudy) -> float:
    study = heard.study
    bar = 60 / study.tempo * float(study.loop.metre.quarters_per_bar)
    true = np.arange(len(loop.chords) + 1) * bar_seconds(loop.name) + LATER
    found = heard.bars.first + np.arange(study.bars + 1) * bar + LATER
    result = mir_eval.chord.evaluate(
        np.stack([true[:-1], true[1:]], axis=1),
        [_triad(symbol) for symbol in loop.chords],
        np.stack([found[:-1], found[1:]], axis=1),
        [_triad(symbol) for symbol in study.chords],
    )
    return float(result["majmin"])


def _triad(symbol: str) -> str:
    match = re.match(r"([A-G][b#]?)([^/]*)", symbol)
    assert match is not None
    minor = match[2].startswith(("m", "dim")) and not match[2].startswith("maj")
    return f"{match[1]}:{'min' if minor else 'maj'}"


def _notes(name: str, heard: AudioStudy) -> tuple[float, float]:
    true = played(name)
    times = np.array([(start, end) for start, end, _ in true])
    found = np.array([(max(note.start, 0.0), max(note.end, note.start + 0.01)) for note in heard.notes])
    hertz = [
        mir_eval.util.midi_to_hz(np.array(pitches))
        for pitches in ([n[2] for n in true], [n.pitch for n in heard.notes])
    ]
    onsets = mir_eval.transcription.onset_precision_recall_f1(times, found)[2]
    # Where notes end is not compared: the library takes None for that, though its types do not say so.
    anywhere: Any = None
    notes = mir_eval.transcription.precision_recall_f1_overlap(times, hertz[0], found, hertz[1], offset_ratio=anywhere)[
        2
    ]
    return float(onsets), float(notes)
