"""``sennit export``: writes the hand-over folder, or ZIP file, of one arrangement of a take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from solver.commands.ending import DONE, WRONG, Ending, input_errors
from solver.commands.printing import print_json, print_line
from solver.commands.values import NamedPath, WholeNumber

if TYPE_CHECKING:
    from solver.export.folder import Handover
    from solver.music.scales import Key

RATES = ("44100", "48000")


@click.command(short_help="Write everything of an arrangement that leaves the house: MIDI, stems, score, notes.")
@click.argument("take", type=NamedPath("out/ferry-lights/take-001"))
@click.argument("number", metavar="N", type=WholeNumber(1))
@click.option(
    "--to",
    "folder",
    type=NamedPath("handed", file_okay=False),
    default=Path(),
    metavar="DIR",
    help="Folder in which the hand-over is made [default: here].",
)
@click.option("--zip", "zipped", is_flag=True, help="Make one ZIP file instead of a folder.")
@click.option("--keys", metavar='"C minor, …"', help="Write MIDI files in these keys, too.")
@click.option("--tail", is_flag=True, help="Write WAV files that play once and ring out, too.")
@click.option("--rate", type=click.Choice(RATES), default=RATES[0], show_default=True, help="Samples a second.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def export(
    take: Path, number: int, folder: Path, zipped: bool, keys: str | None, tail: bool, rate: str, as_json: bool
) -> int:
    """Write arrangement N of TAKE as a hand-over: MIDI, stems and mix (24 bit, wet and dry), score and tab, notes.

    The folder and its files are named after title, key and tempo. It is written whole or not at all, and nothing is
    overwritten: where its name is taken, a number is added.
    """
    from solver.brief.planning import plan_from_text
    from solver.export.folder import Order, hand_over
    from solver.export.transposing import OutOfReach
    from solver.take import read_take

    with input_errors():
        found = read_take(take)
        plan = plan_from_text(found.header.brief_text, found.header.brief_name, lines=found.header.lines)
    count = len(found.arrangements)
    if number > count:
        right = "write 1" if count == 1 else f"write a number from 1 to {count}"
        raise Ending(WRONG, f"{take}: there is no arrangement {number}; {right}")
    order = Order(() if keys is None else _keys(keys, plan.key), tail, int(rate), zipped)
    try:
        done = hand_over(plan, found, number, folder, order)
    except OutOfReach as reason:
        raise Ending(WRONG, f"--keys: {reason}") from None
    _print(done, as_json)
    return DONE


def _keys(text: str, own: Key) -> tuple[Key, ...]:
    """The keys that are listed, each once, without the own one. Raises Ending: a line for each that is none."""
    from solver.music.faults import Fault
    from solver.music.scales import parse_key

    if ";" in text:
        raise Ending(WRONG, '--keys: keys are told apart by commas; write "C minor, D minor"')
    found: list[Key] = []
    wrong: list[Fault] = []
    for name in text.split(","):
        try:
            found.append(parse_key(name.strip()))
        except Fault as fault:
            wrong.append(fault)
    if wrong:
        raise Ending(WRONG, "\n".join(dict.fromkeys(f"--keys: {fault}" for fault in wrong)))
    return tuple(key for key in dict.fromkeys(found) if key != own)


def _print(done: Handover, as_json: bool) -> None:
    if as_json:
        print_json(
            {
                "path": str(done.path),
                "files": list(done.files),
                "loudness": round(done.loudness, 2) if done.loudness > float("-inf") else None,
                "true_peak": round(done.true_peak, 2) if done.true_peak > float("-inf") else None,
                "sound": done.engine,
            }
        )
        return
    print_line(f"{done.path}")
    levels = f"{done.loudness:.1f} LUFS, true peak {done.true_peak:.1f} dBTP"
    print_line(f"{len(done.files)} files; {levels}; sound: {done.engine}")
