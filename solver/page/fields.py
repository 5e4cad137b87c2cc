"""The form's fields, made from the schema: every key of a brief with its meaning, default, example and kind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from solver.page.choice_words import meaning_of

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

# How a key's value is asked for. A key that takes one of some words is a choice without being named here.
KINDS = {
    "title": "text",
    "key": "text",
    "tempo": "number",
    "bars": "number",
    "chords": "words",
    "chord_bars": "numbers",
    "grid": "number",
    "seed": "number",
    "count": "number",
    "tuning": "tuning",
    "capo": "number",
    "range": "text",
    "notes_per_bar": "pair",
    "repeat_every": "number",
    "vary_notes": "pair",
    "longest_shared": "number",
    "from": "MIDI file",
    "avoid": "MIDI files",
    "track": "number or text",
    "transpose": "number",
    "swing": "number or text",
    "accent": "number",
    "phrase": "number",
    "spread": "number",
    "touch": "number",
    "strum": "number",
}
OF_PART = {"bars": {"kind": "pair"}}  # a part's key that the brief has too, with another meaning
TABLES = ("prefer", "feel", "parts")  # keys whose values are tables with fields of their own
TRUTH = "truth"  # true or false
OTHER = "toml"  # a value that is written as TOML


def form_fields() -> dict[str, Any]:
    """Fields of the brief, of ``[feel]`` and of a part, each in the schema's order, and the merits that may weigh."""
    from solver.brief.feel_table import FeelTable
    from solver.brief.part_table import Part
    from solver.brief.schema import Brief, keys_of
    from solver.merits import every_merit

    return {
        "brief": [_field(name, field) for name, field in Brief.model_fields.items() if name not in TABLES],
        "feel": [_field(name, field) for name, field in FeelTable.model_fields.items()],
        "part": [_field(name, field) | OF_PART.get(name, {}) for name, field in keys_of(Part).items()],
        "prefer": {
            "meaning": Brief.model_fields["prefer"].description,
            "merits": [merit.name.replace(" ", "_") for merit in every_merit()],
        },
        "feel_meaning": Brief.model_fields["feel"].description,
    }


def _field(name: str, field: FieldInfo) -> dict[str, Any]:
    choices = _choices(name, field)
    extra = field.json_schema_extra
    assert isinstance(extra, dict)
    return {
        "key": name,
        "meaning": field.description,
        "default": extra["default"],
        "required": field.is_required(),
        "example": (field.examples or [""])[0],
        "kind": "choice" if choices else TRUTH if field.annotation is bool else KINDS.get(name, OTHER),
        "choices": choices,
        "choice_words": {choice: words for choice in choices if (words := meaning_of(name, choice))},
    }


def _choices(name: str, field: FieldInfo) -> list[str]:
    from solver.brief.wording import choices_of
    from solver.music.instruments import load_instruments
    from solver.music.metre import DEFAULT_GRIDS

    if name == "meter":
        return [f"{numerator}/{denominator}" for numerator, denominator in DEFAULT_GRIDS]
    if name == "instrument":
        return list(load_instruments())
    return [] if name in KINDS else list(choices_of(field))
