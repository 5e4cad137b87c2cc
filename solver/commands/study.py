"""``sennit study``: takes a reference apart, says what it does, and writes a brief for something of its kind."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from solver.commands.ending import DONE, WRONG, Ending
from solver.commands.values import NamedPath

if TYPE_CHECKING:
    from solver.study.sentences import Paragraph
    from solver.study.study import Study


@click.command(short_help="Take a reference apart and write a brief of its kind.")
@click.argument("file", type=NamedPath("refs/harbour.mid"))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option(
    "--out", type=NamedPath("briefs/harbour.toml"), metavar="BRIEF.toml", help="Write the brief here; no overwriting."
)
@click.option("--page", type=NamedPath("harbour.html"), metavar="PAGE.html", help="Write a page with a picture here.")
@click.option("--meter", metavar="METER", help="Count the bars of a sound so: 4/4.")
def study(file: Path, as_json: bool, out: Path | None, page: Path | None, meter: str | None) -> int:
    """Say what FILE, a MIDI file or a MusicXML score that you made or own, does: key, chords, form, parts.

    Prints what was found in sentences, then a brief for something of its kind, each line with its reason. Chords and
    key are concluded from the notes alone. This is a reading, not a judgement, and no legal opinion.

    Of a sound (WAV, FLAC, OGG, MP3) tempo, key, chords and notes are estimated; that needs the study extra.
    """
    from solver.commands.printing import print_json
    from solver.study.brief_text import NoBrief, brief_text
    from solver.study.errors import StudyError
    from solver.study.facts import facts_of
    from solver.study.reading import is_audio
    from solver.study.sentences import paragraphs
    from solver.study.study import study as study_file

    for target in (out, page):
        if target is not None:
            _check_target(target)
    if is_audio(file):
        return _study_audio(file, as_json, out, page, meter)
    if meter is not None:
        raise Ending(
            WRONG, f"{file}: --meter counts the bars of a sound, and a file of notes has its own; leave it out"
        )
    try:
        found = study_file(file)
    except StudyError as error:
        raise Ending(WRONG, str(error)) from error
    try:
        brief, refusal = brief_text(found), ""
    except NoBrief as reason:
        brief, refusal = "", str(reason)
    if out is not None and not brief:
        raise Ending(WRONG, f"{file}: no brief can be written: {refusal}; study it without --out")
    if out is not None:
        _write(out, brief)
    if page is not None:
        _write(page, _page(found, brief))
    if as_json:
        print_json(facts_of(found))
        return DONE
    _tell(paragraphs(found), brief, refusal, [target for target in (out, page) if target is not None])
    return DONE


def _study_audio(file: Path, as_json: bool, out: Path | None, page: Path | None, meter: str | None) -> int:
    from solver.commands.printing import print_json
    from solver.music.faults import Fault
    from solver.music.metre import parse_metre
    from solver.study.audio.study import study_audio
    from solver.study.audio.telling import audio_facts, audio_paragraphs
    from solver.study.errors import StudyError

    if page is not None:
        raise Ending(WRONG, f"{file}: a page shows notes that were written, and this is sound; study it without --page")
    try:
        heard = study_audio(file, None if meter is None else parse_metre(meter))
    except Fault as fault:
        raise Ending(WRONG, f"sennit study: --meter: {fault.wrong}; {fault.right}") from fault
    except StudyError as error:
        raise Ending(WRONG, str(error)) from error
    facts = audio_facts(heard)
    refusal = f"a brief has no metre {facts['meter']}"
    if out is not None:
        if not facts["brief"]:
            raise Ending(WRONG, f"{file}: no brief can be written: {refusal}; study it without --out")
        _write(out, facts["brief"])
    if as_json:
        print_json(facts)
    else:
        _tell(audio_paragraphs(heard), facts["brief"] or "", refusal, [out] if out else [])
    return DONE


def _tell(paragraphs: Iterable[Paragraph], brief: str, refusal: str, written: Iterable[Path]) -> None:
    """Print what was found, the brief or why there is none, and which files were written."""
    from solver.commands.printing import print_line

    for paragraph in paragraphs:
        print_line(paragraph.heading)
        for sentence in paragraph.sentences:
            print_line(f"  {sentence}")
        print_line()
    print_line(brief.rstrip("\n") if brief else f"No brief can be written: {refusal}.")
    for target in written:
        print_line()
        print_line(f"{target}: written")


def _page(found: Study, brief: str) -> str:
    from solver.study.page import page_html

    return page_html(found, brief)


def _check_target(target: Path) -> None:
    """Raises Ending where a file cannot or must not be written."""
    if target.exists():
        raise _taken(target)
    if not target.parent.is_dir():
        raise Ending(WRONG, f"{target}: there is no folder {target.parent}; make it, or name another")
    if not os.access(target.parent, os.W_OK):
        raise Ending(WRONG, f"{target}: the folder cannot be written to; name a file in a folder of your own")


def _taken(target: Path) -> Ending:
    return Ending(WRONG, f"{target}: there is something of this name already; name a new file")


def _write(target: Path, text: str) -> None:
    """Write a whole file or none: under another name first, which then becomes its own. Raises Ending where a file of
    that name has come meanwhile."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:40]}.", dir=target.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(name, 0o644)
        try:
            os.link(name, target)
        except FileExistsError:
            raise _taken(target) from None
        except OSError:  # there are file systems without links
            os.replace(name, target)
        else:
            Path(name).unlink()
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
