"""What each word means that a key of a brief may take, for the form."""

from __future__ import annotations

MEANINGS = {
    "role": {
        "lead": "recognisable, few different notes, repeats with a small change at the end",
        "low": "the lowest notes: starts on the first chord's root, walks between changes, moves on under the lead",
        "background": "between lead and low, sparse, with a note of its own that no other part has",
        "chords": "struck chords, dyads or broken chords that a hand can hold",
        "counter": "a second line that answers in the lead's gaps",
    },
    "figure": {
        "few notes": "a line of few different notes",
        "broken chord": "chord tones on neighbouring strings that ring on",
        "steps": "along the scale",
    },
    "motion": {
        "free": "the first notes of the bars go anywhere",
        "down": "the first notes of the bars never rise within a pass through the chords",
        "up": "the first notes of the bars never fall within a pass through the chords",
        "hold": "the first notes of the bars stay on one pitch a chord",
    },
    "texture": {
        "single": "one note at a time",
        "dyads": "two notes at a stroke",
        "chords": "three or more at a stroke",
    },
    "ornaments": {"none": "plain notes", "few": "one in four bars", "many": "up to one a bar"},
    "swing_on": {"8ths": "the two halves of a quarter", "16ths": "the two halves of an eighth"},
    "strum_direction": {
        "down": "from the lowest string",
        "up": "from the highest string",
        "alternate": "down on the beats, up between them",
    },
}


def meaning_of(key: str, choice: str) -> str:
    """What a word means for a key; of an instrument, its open strings. Empty where the word says it all."""
    if key == "instrument":
        from solver.music.instruments import load_instruments
        from solver.music.pitch import note_name

        return "strings " + " ".join(note_name(pitch) for pitch in load_instruments()[choice].tuning)
    return MEANINGS.get(key, {}).get(choice, "")
