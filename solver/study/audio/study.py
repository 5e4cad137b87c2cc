"""The study of a sound: its notes are estimated, laid on bars, and studied as those of a file of notes are.

Chords come from the estimated notes and from chroma together, the templates of chords held against both; the key from
key profiles and where the loop begins; see ``solver.study.harmony`` and ``solver.study.key``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from statistics import quantiles

from solver.music.metre import Metre
from solver.study.audio.bar_chords import BarChord, LaidChroma
from solver.study.audio.bars import Bars, bars_of
from solver.study.audio.chroma import chroma_of
from solver.study.audio.extra import INSTALL, missing, model_path
from solver.study.audio.heard_notes import HeardNote, notes_of
from solver.study.audio.note_model import activations
from solver.study.audio.signal import read_signal
from solver.study.errors import StudyError, Unreadable
from solver.study.grid import loop_of, silent_bars
from solver.study.reference import Reference, Tone, Voice
from solver.study.study import Study, study_of

LOW = 3  # semitones above the lowest third of all notes up to which a note may be the bass


@dataclass(frozen=True)
class AudioStudy:
    """What is estimated of a sound. ``study`` has the notes in two layers, the bass and what lies above it; of its
    parts nothing but that is known. ``notes`` are in seconds from the start of the file; ``bar_chords`` has one entry
    for each bar."""

    study: Study
    notes: tuple[HeardNote, ...]
    bars: Bars
    bar_chords: tuple[BarChord, ...]
    seconds: float
    metre_given: bool
    remarks: tuple[str, ...]

    @property
    def confidence(self) -> float:
        """The mean confidence of the notes, from 0 to 1."""
        return sum(note.confidence for note in self.notes) / len(self.notes)


def study_audio(path: Path, metre: Metre | None = None) -> AudioStudy:
    """Study a sound file, its bars counted in a metre, by default 4/4. Raises StudyError with one line."""
    try:
        model = model_path()
        if missing() or model is None:
            raise Unreadable(f"the study of sound needs what is not installed: {missing()}", INSTALL)
        return _study(path, model, metre)
    except Unreadable as problem:
        raise StudyError(path, problem.wrong, problem.right) from problem


def _study(path: Path, model: Path, metre: Metre | None) -> AudioStudy:
    signal = read_signal(path)
    notes = notes_of(activations(signal, model))
    if len(notes) < 2:
        raise Unreadable("no notes are heard in it", "give a sound of pitched notes")
    counted = metre or Metre(4, 4, 16)
    bars = bars_of(signal, notes, counted)
    reference = _reference(notes, bars, counted, signal.seconds)
    # The study counts from the first bar that sounds.
    silent = silent_bars(reference.voices, counted.quarters_per_bar)
    bars = replace(bars, first=bars.first + silent * bars.beat * len(counted.beats))
    loop = loop_of(reference)
    heard = LaidChroma(chroma_of(signal), bars, loop)
    study = study_of(path, loop, sound=heard.fits)
    return AudioStudy(study, notes, bars, heard.bar_chords(study), signal.seconds, metre is not None, signal.remarks)


def _reference(notes: tuple[HeardNote, ...], bars: Bars, metre: Metre, seconds: float) -> Reference:
    """The notes in quarters from the first bar line, on the beats' pulses, the bass in a voice of its own."""
    length = metre.quarters_per_bar
    grain = Fraction(length) / len(metre.beats) / bars.pulses
    quarter = bars.beat / float(length / len(metre.beats))
    whole = max(1, round((seconds - bars.first) / quarter / float(length))) * length if bars.is_loop else None
    tones = set()
    for note in notes:
        start = grain * round((note.start - bars.first) / quarter / float(grain))
        end = grain * round((note.end - bars.first) / quarter / float(grain))
        if whole is None or start < whole:
            tones.add(Tone(start, max(end, start + grain), note.pitch))
    if bars.is_loop:
        tones = {tone for tone in tones if tone.start >= 0} or tones
    low, high = _layers(sorted(tones))
    voices = tuple(Voice(name, layer) for name, layer in (("upper", high), ("bass", low)) if layer)
    end = whole if whole is not None else max(tone.end for tone in tones)
    return Reference(voices, bars.tempo, (metre.numerator, metre.denominator), None, end)


def _layers(tones: list[Tone]) -> tuple[tuple[Tone, ...], tuple[Tone, ...]]:
    """The bass, the lowest that sounds where it is low, and everything else."""
    third = quantiles((tone.pitch for tone in tones), n=3)[0] if len(tones) > 1 else tones[0].pitch
    low, high = [], []
    sounding: list[Tone] = []
    for index, tone in enumerate(tones):
        sounding = [other for other in sounding if other.end > tone.start]
        later = index + 1
        while later < len(tones) and tones[later].start == tone.start:
            later += 1
        lowest = min(other.pitch for other in (tone, *sounding, *tones[index + 1 : later]))
        (low if tone.pitch == lowest and tone.pitch <= third + LOW else high).append(tone)
        sounding.append(tone)
    return tuple(low), tuple(high)
