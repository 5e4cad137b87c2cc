"""Kinds of values on the command line: what is wrong with one is told in words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click


class WholeNumber(click.IntRange):
    """From ``min`` to ``max``, both counted in; without ``max`` there is no largest."""

    name = "whole number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{visible(str(value))} will not do; write a whole number {self._describe_range()}", param, ctx)

    def _describe_range(self) -> str:
        return f"from {self.min}" + ("" if self.max is None else f" to {self.max}")


class NamedPath(click.Path):
    """A path, of which ``example`` is one. A blank one, which the system takes for the current folder, is refused."""

    def __init__(self, example: str, *, file_okay: bool = True) -> None:
        super().__init__(path_type=Path, file_okay=file_okay)
        self.example = example

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if isinstance(value, str) and not value.strip():
            self.fail(f"{visible(value)} names nothing; write a path such as {self.example}", param, ctx)
        return super().convert(value, param, ctx)


def visible(value: str) -> str:
    """A value as an error repeats it: in quotes where nothing would be seen of it."""
    return value if value.strip() else f'"{value}"'
