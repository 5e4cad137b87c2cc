"""The command line: reads the arguments, calls one command, and turns whatever goes wrong into one line.

Nothing heavy is imported here nor at the top of a command's file, so that ``--help`` answers at once.
"""

from __future__ import annotations

import difflib
import gc
import os
import sys
from collections.abc import Sequence
from typing import Any

import click

from solver import __version__
from solver.commands.arrange import arrange
from solver.commands.check import check
from solver.commands.ending import DONE, INTERRUPTED, WRONG, Ending
from solver.commands.export import export
from solver.commands.page import page
from solver.commands.rework import rework
from solver.commands.start import start
from solver.commands.study import study
from solver.commands.takes import takes

NAME = "sennit"

# New objects until Python looks for garbage. A model is made of many that stay: looking as often as usual (700) takes
# a fifteenth of the time to the first arrangement.
GARBAGE = 100_000


class Commands(click.Group):
    """A group that says which command was meant."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that the arguments name. Raises UsageError where there is none."""
        if self.get_command(ctx, args[0]) is None and not args[0].startswith("-"):
            known = self.list_commands(ctx)
            near = difflib.get_close_matches(args[0], known, n=1)
            right = f"did you mean {near[0]}?" if near else f"the commands are {', '.join(known)}"
            raise click.UsageError(f'there is no command "{args[0]}"; {right}', ctx)
        return super().resolve_command(ctx, args)


@click.group(NAME, cls=Commands, no_args_is_help=False, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, "--version", prog_name=NAME, message="%(prog)s %(version)s")
def sennit() -> None:
    """From a short brief to several ranked, playable loops of interlocking guitar-like parts.

    Exit codes: 0 done; 1 the brief cannot be satisfied, or the check found breaches; 2 the input or the command is
    wrong; 3 time ran out undecided; 130 interrupted, with what was finished kept.
    """


for _command in (arrange, check, export, page, rework, start, study, takes):
    sennit.add_command(_command)


def main() -> int:
    """Run the command that the program's arguments name; returns its exit code."""
    gc.set_threshold(GARBAGE)
    for stream in (sys.stdout, sys.stderr):
        _print_anything(stream)
    code = run(sys.argv[1:])
    try:
        sys.stdout.flush()
    except OSError as error:
        # The interpreter flushes standard output once more when it ends, and would complain in words of its own.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = code if code == WRONG else _unwritten(error)
    return code


def run(arguments: Sequence[str]) -> int:
    """Run a command; returns its exit code. What goes wrong is said in one line on standard error."""
    try:
        with sennit.make_context(NAME, list(arguments)) as context:
            return int(sennit.invoke(context) or DONE)
    except click.exceptions.Exit as end:
        return end.exit_code
    except click.ClickException as error:
        return _say(_usage_line(error), WRONG)
    except Ending as end:
        return _say(str(end), end.code)
    except (KeyboardInterrupt, click.Abort):
        return _say(f"{NAME}: interrupted", INTERRUPTED)
    except OSError as error:
        return _unwritten(error)


def _say(message: str, code: int) -> int:
    if message:
        click.echo(message, err=True)
    return code


def _usage_line(error: click.ClickException) -> str:
    """What the parser of the command line complains of, as one line that says where help is."""
    context = getattr(error, "ctx", None)
    if isinstance(error, click.NoSuchOption) and error.possibilities:
        # The dashes that all options share are no likeness.
        bare = {option.lstrip("-"): option for option in error.possibilities}
        near = difflib.get_close_matches(error.option_name.lstrip("-"), bare)
        error = click.NoSuchOption(error.option_name, possibilities=[bare[name] for name in near], ctx=error.ctx)
    command = context.command_path if context else NAME
    words = " ".join(error.format_message().split()).rstrip(".")
    words = "".join(char if char.isprintable() else "?" for char in words)
    help_is = "" if words.endswith("?") else f"; see {command} --help"
    return f"{command}: {words[:1].lower()}{words[1:]}{help_is}"


def _unwritten(error: OSError) -> int:
    """A file that the system refuses, or an output that nobody reads any more, which needs no words."""
    if isinstance(error, BrokenPipeError):
        return WRONG
    place = f"{error.filename}: " if error.filename else f"{NAME}: "
    return _say(f"{place}{(error.strerror or str(error)).lower()}; check the path, its permissions and the disk", WRONG)


def _print_anything(stream: Any) -> None:
    """Let a stream show as an escape what its encoding lacks, such as a file's name that is no text."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors="backslashreplace")
