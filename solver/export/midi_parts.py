"""Which notes of a MIDI file belong to which part of a brief: by track name, else by order."""

from __future__ import annotations

from dataclasses import dataclass

from solver.brief.plan import Plan
from solver.export.midi_tracks import PERCUSSION, RawNote, RawTrack, Sequence


class PartsNotMatched(Exception):
    """Why the tracks of a file cannot be told apart as the parts of a brief, in words."""


@dataclass(frozen=True)
class Assignment:
    """The notes of each part, what to say about it, and how many notes belong to no part."""

    parts: dict[str, list[RawNote]]
    remarks: tuple[str, ...]
    left_out: int


def match_parts(sequence: Sequence, plan: Plan) -> Assignment:
    """Give each part of the plan its notes. Raises PartsNotMatched, naming the tracks that are expected.

    Tracks named like parts (upper and lower case alike) come first. Where exactly as many tracks with notes, or
    channels, are left over as there are parts without one, they are taken in order. Percussion counts only by name.
    """
    names = {part.name.casefold(): part.name for part in plan.parts}
    parts: dict[str, list[RawNote]] = {}
    others: list[RawTrack] = []
    for track in sequence.tracks:
        name = names.get(track.name.casefold())
        if name is not None and track.notes:
            parts.setdefault(name, []).extend(track.notes)
        elif track.notes:
            others.append(track)
    free = [part.name for part in plan.parts if part.name not in parts]
    remarks: list[str] = []
    pitched = [track for track in others if any(note.channel != PERCUSSION for note in track.notes)]
    by_order = _in_order(pitched, free)
    if by_order:
        parts.update(by_order)
        remarks.append("parts taken in order, as no track has the name: " + ", ".join(by_order))
        others = [track for track in others if track not in pitched]
    elif not parts or (free and pitched):
        raise PartsNotMatched(_complaint(pitched, plan))
    remarks += [f'no track is named "{name}": the part is silent' for name in free if name not in parts]
    remarks += [f"{_called(track)} is none of the parts, left out" for track in others]
    return Assignment(parts, tuple(remarks), sum(len(track.notes) for track in others))


def _in_order(tracks: list[RawTrack], free: list[str]) -> dict[str, list[RawNote]]:
    """Tracks, or channels, in order for the parts that have none yet; empty where the numbers differ."""
    if not free:
        return {}
    if len(tracks) == len(free):
        return {name: list(track.notes) for name, track in zip(free, tracks, strict=True)}
    notes = [note for track in tracks for note in track.notes if note.channel != PERCUSSION]
    channels = sorted({note.channel for note in notes})
    if len(channels) != len(free):
        return {}
    return {
        name: [note for note in notes if note.channel == channel] for name, channel in zip(free, channels, strict=True)
    }


def _called(track: RawTrack) -> str:
    return f'track "{track.name}"' if track.name else "a track without a name"


def _complaint(tracks: list[RawTrack], plan: Plan) -> str:
    wanted = ", ".join(f'"{part.name}"' for part in plan.parts)
    if not tracks:
        return f"holds no pitched notes; tracks named {wanted} are expected"
    found = ", ".join(f'"{track.name}"' if track.name else "without a name" for track in tracks[:8]) + (
        ", …" if len(tracks) > 8 else ""
    )
    return (
        f"its {_counted(len(tracks), 'track')} with notes ({found}) cannot be told apart as the brief's "
        f"{_counted(len(plan.parts), 'part')}; "
        f"name the tracks {wanted}"
    )


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
