"""The table of a brief's keys for the README: ``python -m solver.brief.keys`` prints it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pydantic import BaseModel
    from pydantic.fields import FieldInfo

HEADER = ("key", "meaning", "default", "example")


def table_of_keys() -> str:
    """All keys of a brief, of its feel and of its parts as one table in Markdown, in the order of the schema."""
    from solver.brief.feel_table import FeelTable
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief

    keys = [*_rows(Brief, ""), *_rows(FeelTable, "feel."), *_rows(Part, "parts.NAME.")]
    rows = [HEADER, ("---",) * len(HEADER), *keys]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def _rows(model: type[BaseModel], prefix: str) -> list[tuple[str, ...]]:
    from solver.brief.schema import keys_of

    return [_row(f"{prefix}{name}", field) for name, field in keys_of(model).items()]


def _row(name: str, field: FieldInfo) -> tuple[str, ...]:
    extra = field.json_schema_extra
    assert isinstance(extra, dict)
    example = str((field.examples or [""])[0])
    return f"`{name}`", field.description or "", str(extra["default"]), f"`{example}`"


if __name__ == "__main__":
    print(table_of_keys())
