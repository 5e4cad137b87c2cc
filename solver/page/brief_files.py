"""The workspace's briefs for the page: listed, read with what is wrong with them, and saved."""

from __future__ import annotations

import os
import secrets
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solver.brief.errors import BriefErrors
from solver.brief.reader import LARGEST, read_text
from solver.brief.titles import title_from
from solver.page.paths import Workspace
from solver.page.refusal import Refusal, missing
from solver.page.versions import version_of_text
from solver.take import list_takes

if TYPE_CHECKING:
    from solver.brief.plan import Plan

GATE = ".briefs.lock"  # held while a brief is saved


def listing(workspace: Workspace) -> list[dict[str, Any]]:
    """All briefs by name, with what can be said of them at a glance; broken ones are listed as such."""
    with_takes = set(workspace.with_takes())
    return [_entry(workspace, name, name in with_takes) for name in workspace.briefs()]


def _entry(workspace: Workspace, name: str, solved: bool) -> dict[str, Any]:
    takes = list_takes(workspace.takes(name)) if solved else []
    entry: dict[str, Any] = {"name": name, "title": title_from(name), "takes": len(takes)}
    entry["latest"] = takes[-1].name if takes else None
    try:
        data = tomllib.loads(read_text(workspace.brief(name)))
    except (BriefErrors, ValueError, RecursionError):
        return {**entry, "broken": True}
    facts = {
        key: data[key] for key in ("key", "bars", "tempo", "meter") if isinstance(data.get(key), str | int | float)
    }
    chords = data.get("chords")
    title = data.get("title")
    return {
        **entry,
        **facts,
        "title": title if isinstance(title, str) and title.strip() else entry["title"],
        "chords": [str(chord)[:20] for chord in chords[:16]] if isinstance(chords, list) else [],
        "parts": list(data["parts"])[:6] if isinstance(data.get("parts"), dict) else [],
    }


def read(workspace: Workspace, name: str) -> dict[str, Any]:
    """A brief as the form needs it. Raises Refusal where there is none, or where it cannot be read as text."""
    path = workspace.brief(name)
    if not path.is_file():
        raise missing(f"brief {name}")
    try:
        text = read_text(path)
    except BriefErrors as errors:
        raise Refusal(422, str(errors.errors[0])) from None
    return {"name": name, "version": version_of_text(text), **judged(text, path)}


def judged(text: str, path: Path) -> dict[str, Any]:
    """A text's values, its errors with the keys they belong to, and, where there are none, what holds by default.

    ``path`` is where the text stands or will stand: other files that it names are looked for from there.
    """
    from solver.brief.planning import checked, plan_from

    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError):
        data = None
    facts: dict[str, Any] = {"text": text, "values": _plain(data), "errors": [], "defaults": {}}
    try:
        source = checked(text, path)
        facts["defaults"] = _defaults(plan_from(source))
    except BriefErrors as errors:
        facts["errors"] = [
            {
                "line": error.line,
                "column": error.column,
                "path": list(error.key_path),
                "wrong": error.wrong,
                "right": error.right,
            }
            for error in errors.errors
        ]
    return facts


def save(workspace: Workspace, name: str, text: str, version: str | None) -> str:
    """Write a brief's text whole; returns its version.

    ``version`` is that of the text which was changed, None for a new brief. Raises Refusal where the file has changed
    meanwhile, or is there already; it is compared and replaced under a lock, so that two windows at once lose nothing.
    """
    from filelock import FileLock

    path = workspace.brief(name)
    if len(text.encode("utf-8", "replace")) > LARGEST:
        raise Refusal(413, "a brief is at most 1 MB of text")
    try:
        path.parent.mkdir(exist_ok=True)
        with FileLock(path.parent / GATE):
            _check_version(path, name, version)
            _replace(path, text)
    except (OSError, UnicodeEncodeError) as error:
        raise Refusal(500, f"{path.name} cannot be written ({getattr(error, 'strerror', None) or error})") from error
    return version_of_text(text)


def _check_version(path: Path, name: str, version: str | None) -> None:
    try:
        now = version_of_text(path.read_text(encoding="utf-8")) if path.exists() else None
    except (OSError, UnicodeDecodeError):
        raise Refusal(409, f"{path.name} cannot be read; it is left as it is") from None
    if now != version:
        words = f"there is a brief {name} already; take another name"
        raise Refusal(409, words if version is None else f"{path.name} was changed elsewhere meanwhile; open it anew")


def _replace(path: Path, text: str) -> None:
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with part.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except (OSError, UnicodeEncodeError):
        part.unlink(missing_ok=True)
        raise


def _plain(value: Any) -> Any:
    """Values of TOML as JSON has them: dates and numbers that JSON lacks become text."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    if (isinstance(value, float) and value != value) or value in (float("inf"), float("-inf")):
        return str(value)
    return value if value is None or isinstance(value, str | int | float | bool) else str(value)


def _defaults(plan: Plan) -> dict[str, Any]:
    """What the keys that may be left out come to in this brief, in words."""
    from solver.music.pitch import note_name

    flats = plan.key.prefers_flats
    lengths = [(span.end - span.start) / plan.metre.grid for span in plan.spans if span.pass_index == 0]
    brief = {
        "title": plan.title,
        "tempo": f"{plan.tempo:g}",
        "meter": plan.metre.name,
        "grid": str(plan.metre.grid),
        "chord_bars": ", ".join(f"{length:g}" for length in dict.fromkeys(lengths)) if lengths else "",
        "seed": str(plan.seed),
        "count": str(plan.count),
    }
    parts = {
        part.name: {
            "role": part.role,
            "instrument": part.instrument.name,
            "range": f"{note_name(part.low, flats)}..{note_name(part.high, flats)}",
            "notes_per_bar": "{} to {}".format(*part.notes_per_bar),
            "repeat_every": f"{part.repeat_every} bars" if part.repeat_every else "no repeat",
            "vary_notes": "{} to {}".format(*part.vary_notes),
            "figure": part.figure,
            "motion": part.motion,
            "texture": part.texture,
            "capo": str(part.instrument.capo),
            "tuning": "the instrument's own",
        }
        for part in plan.parts
    }
    return {"brief": brief, "parts": parts}
