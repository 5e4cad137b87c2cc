"""A whole number of the command line, with limits, told in words."""

from __future__ import annotations

from typing import Any

import click


class WholeNumber(click.IntRange):
    """From ``min`` to ``max``, both counted in; without ``max`` there is no largest."""

    name = "whole number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{value} will not do; write a whole number {self._describe_range()}", param, ctx)

    def _describe_range(self) -> str:
        return f"from {self.min}" + ("" if self.max is None else f" to {self.max}")
