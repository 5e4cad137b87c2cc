"""The hand-over: one folder (or ZIP file) with everything that leaves sennit, written whole or not at all.

    NAME.mid, NAME - PART.mid          played with the brief's feel
    NAME - mix.wav, NAME - PART.wav    loops with their share of the room; in ``dry`` without it
    NAME.musicxml, NAME - score.html, NAME - score N.svg
    NAME - notes.txt
    tail/…                             once through, ringing out
    KEY/…                              transposed MIDI

NAME is title, key and tempo. Everything is made in a hidden folder beside its place, which is renamed once at the end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from solver.arrangement import Arrangement
from solver.brief.plan import PartPlan, Plan
from solver.export.engraving import engrave, score_html
from solver.export.midi import midi_bytes
from solver.export.names import base_name, key_words
from solver.export.notes_text import notes_text
from solver.export.placing import Placed, check_place, place
from solver.export.score import score_xml
from solver.export.sound.stems import Audio, StemSet, audio_of
from solver.export.sound.wave import wav_24_bytes
from solver.export.transposing import transposed
from solver.music.scales import Key
from solver.takes.record import Take

RATES = (44_100, 48_000)
MIX, DRY, TAIL = "mix", "dry", "tail"


@dataclass(frozen=True)
class Order:
    """What is wanted besides the usual: other keys, versions that ring out, the rate (Hz), one ZIP file."""

    keys: tuple[Key, ...] = ()
    tail: bool = False
    rate: int = RATES[0]
    zipped: bool = False


@dataclass(frozen=True)
class Handover:
    """What was written: its path, its files (relative, with /), and the mix's loudness (LUFS) and true peak (dBTP)."""

    path: Path
    files: tuple[str, ...]
    loudness: float
    true_peak: float
    engine: str


def hand_over(plan: Plan, take: Take, number: int, folder: Path, order: Order) -> Handover:
    """Write arrangement ``number`` (from 1) of a take into a new folder, or ZIP file, inside ``folder``.

    Nothing is overwritten: where the name is taken, a number is added to it. Raises OutOfReach for a key in which a
    part cannot be played, and OSError where the files cannot be written; either leaves nothing behind.
    """
    arrangement = take.arrangements[number - 1].arrangement
    # First what may be refused, before anything is written.
    moved = [transposed(plan, arrangement, key) for key in order.keys]
    check_place(folder)
    audio = audio_of(plan, arrangement, order.rate, tail=order.tail)

    def files() -> Iterator[tuple[str, bytes]]:
        name = base_name(plan)
        yield from _midi(plan, arrangement, name, "")
        for other, notes in moved:
            yield from _midi(other, notes, base_name(other), f"{key_words(other.key)}/")
        yield from _audio(plan, audio, name)
        yield from _score(plan, arrangement, name)
        yield f"{name} - notes.txt", notes_text(plan, take, number, audio).encode()

    placed: Placed = place(folder, base_name(plan), files(), zipped=order.zipped)
    return Handover(placed.path, placed.files, audio.loudness, audio.true_peak, audio.engine)


def label(part: PartPlan) -> str:
    """What a part's files are called; one that is called like the mix is told from it."""
    return f"part {part.name}" if part.name.casefold() == MIX else part.name


def _midi(plan: Plan, arrangement: Arrangement, name: str, inside: str) -> Iterator[tuple[str, bytes]]:
    """The whole and each part, as played."""
    yield f"{inside}{name}.mid", midi_bytes(plan, arrangement, plan.feel)
    for part in plan.parts:
        yield f"{inside}{name} - {label(part)}.mid", midi_bytes(plan, arrangement, plan.feel, only=part.name)


def _audio(plan: Plan, audio: Audio, name: str) -> Iterator[tuple[str, bytes]]:
    kinds: list[tuple[str, StemSet | None, str]] = [
        ("", audio.wet, ""),
        (f"{DRY}/", audio.dry, f" {DRY}"),
        (f"{TAIL}/", audio.tail, f" {TAIL}"),
        (f"{TAIL}/{DRY}/", audio.dry_tail, f" {DRY} {TAIL}"),
    ]
    for inside, stems, kind in kinds:
        if stems is None:
            continue
        yield f"{inside}{name} - {MIX}{kind}.wav", wav_24_bytes(stems.mix, audio.rate)
        for part in plan.parts:
            yield f"{inside}{name} - {label(part)}{kind}.wav", wav_24_bytes(stems.stems[part.name], audio.rate)


def _score(plan: Plan, arrangement: Arrangement, name: str) -> Iterator[tuple[str, bytes]]:
    score = score_xml(plan, arrangement)
    pages = engrave(score)
    yield f"{name}.musicxml", score
    yield f"{name} - score.html", score_html(name, pages).encode()
    for number, page in enumerate(pages, start=1):
        yield f"{name} - score {number}.svg", page.encode()
