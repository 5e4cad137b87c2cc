"""Names of files and folders that every system takes: title, key and tempo first, then what it is."""

from __future__ import annotations

import re
import unicodedata

from solver.brief.plan import Plan
from solver.music.scales import Key

LONGEST_TITLE = 80  # bytes; the rest of a name needs fewer than 150, and systems take 255
UNTITLED = "Untitled"
_KEPT = re.compile(r"[^\w\s'(),.+-]")
_NOTE = re.compile(r"\b([A-G])([#♯♭])")
_SIGNS = {"&": " and ", "–": "-", "—": "-", "’": "'"}


def base_name(plan: Plan) -> str:
    """Title, key and tempo: ``Ferry lights - B minor - 138 bpm``."""
    return f"{_title(plan)} - {key_words(plan.key)} - {plan.tempo:g} bpm"


def key_words(key: Key) -> str:
    """A key without signs: ``F sharp minor``."""
    sign = {-1: " flat", 0: "", 1: " sharp"}[key.tonic.alter]
    return f"{key.tonic.letter}{sign} {key.mode}"


def _title(plan: Plan) -> str:
    """The title with letters, digits and what every system takes between them; accents off where only they are in
    the way."""
    for text in map(_in_words, (plan.title, plan.name)):
        plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
        name = safe(plain if _letters(plain) == _letters(text) else text)
        if name:
            return name
    return UNTITLED


def _in_words(text: str) -> str:
    """Notes and signs that have a word, in words."""
    text = _NOTE.sub(lambda match: f"{match[1]} {'flat' if match[2] == '♭' else 'sharp'} ", text)
    for sign, word in _SIGNS.items():
        text = text.replace(sign, word)
    return text


def _letters(text: str) -> int:
    return sum(letter.isalnum() for letter in text)


def safe(text: str) -> str:
    """A text as a part of a file's name, at most LONGEST_TITLE bytes long; empty where nothing of it can be kept."""
    text = _KEPT.sub(" ", unicodedata.normalize("NFC", _in_words(text))).replace("_", " ")
    name = " ".join(text.split()).strip(" .")
    while len(name.encode()) > LONGEST_TITLE:
        name = name[:-1].rstrip(" .")
    return name if _letters(name) else ""


def free_name(base: str, taken: set[str]) -> str:
    """The name, or the first of ``name (2)``, ``name (3)``, … that is not taken, upper and lower case alike."""
    folded = {name.casefold() for name in taken}
    name, number = base, 1
    while name.casefold() in folded:
        number += 1
        name = f"{base} ({number})"
    return name
