"""File names that every system takes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.export.names import LONGEST_TITLE, base_name, free_name, key_words, safe
from solver.music.scales import parse_key
from tests.export.sample_plans import sample_plan

# What the file systems of Windows refuse (common practice, no source), and what shells and web addresses misread.
REFUSED = set('<>:"/\\|?*#%&{}$!`=@;[]^~') | {chr(code) for code in range(32)}


@given(st.text(max_size=120))
def test_any_title_gives_a_name_that_every_system_takes(title: str) -> None:
    name = base_name(replace(sample_plan("one-rope"), title=title))
    assert not set(name) & REFUSED
    assert name == name.strip(" .")
    assert name.endswith(" - G major - 200 bpm")
    assert len(name.encode()) <= LONGEST_TITLE + 40
    assert len(name) > len(" - G major - 200 bpm")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Ferry lights", "Ferry lights"),
        ("Café / Quai №3", "Café Quai 3"),
        ("Café au quai", "Cafe au quai"),
        ("Pier #4: A♭ & C#", "Pier 4 A flat and C sharp"),
        ("渡し船", "渡し船"),
        ("???", "one-rope"),
        ("..", "one-rope"),
        ("a" * 200, "a" * 80),
    ],
)
def test_titles(title: str, name: str) -> None:
    plan = replace(sample_plan("one-rope"), title=title)
    assert base_name(plan).removesuffix(" - G major - 200 bpm") == name


@pytest.mark.parametrize(
    ("key", "words"), [("F# minor", "F sharp minor"), ("Bb major", "B flat major"), ("D dorian", "D dorian")]
)
def test_keys_have_no_signs(key: str, words: str) -> None:
    assert key_words(parse_key(key)) == words


def test_a_tempo_with_a_fraction_keeps_it() -> None:
    assert base_name(replace(sample_plan("one-rope"), tempo=92.5)).endswith("92.5 bpm")


@given(st.text(max_size=200))
def test_a_safe_text_is_safe_already(text: str) -> None:
    assert safe(safe(text)) == safe(text)


def test_a_name_that_is_taken_gets_a_number() -> None:
    assert free_name("a", set()) == "a"
    assert free_name("a", {"A", "a (2)"}) == "a (3)"
