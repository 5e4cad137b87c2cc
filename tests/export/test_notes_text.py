"""The page of notes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from solver.arrangement import Arrangement, Note
from solver.brief.feel import GRID, PLAYED, Feel
from solver.brief.plan import Plan
from solver.export.notes_text import feel_words, notes_text
from solver.export.sound.events import loop_samples
from solver.export.sound.stems import Audio, StemSet
from solver.takes.record import Parent, Take, TakeHeader
from tests.export.sample_arrangements import sample_ranked
from tests.export.sample_plans import TEXTS, sample_plan


def audio_for(plan: Plan, loudness: float = -20.0) -> Audio:
    silence = StemSet({}, np.zeros((loop_samples(plan, 44_100), 2), dtype=np.int32))
    return Audio(44_100, "plucked-string model", silence, silence, loudness, -1.4)


def page(name: str, header: TakeHeader | None = None, loudness: float = -20.0) -> str:
    plan = sample_plan(name)
    found = header or TakeHeader(name, TEXTS[name], 7)
    take = Take(Path(f"out/{name}/take-002"), found, "", tuple(sample_ranked(plan, 3)))
    return notes_text(plan, take, 2, audio_for(plan, loudness))


@pytest.mark.parametrize("name", TEXTS)
def test_it_says_what_it_is_and_stays_within_its_width(name: str) -> None:
    plan, text = sample_plan(name), page(name)
    lines = text.splitlines()
    assert lines[0] == plan.title
    for fact in (plan.key.name, f"{plan.tempo:g} quarter notes", plan.metre.name, str(loop_samples(plan, 44_100))):
        assert fact in text
    for part in plan.parts:
        assert f"  {part.name}: {part.role}, {part.instrument.name}" in text
    assert all(len(line) <= 110 for line in lines)
    assert text.endswith("\n")


def test_every_bar_has_its_chords() -> None:
    text = page("harbour-waltz")
    assert "1: Am    2: E7    3: F     4: G/B" in text
    assert "5: Am    6: E7    7: F     8: G/B" in text


def test_it_tells_how_the_arrangement_came_about() -> None:
    header = TakeHeader(
        "ferry-lights",
        TEXTS["ferry-lights"],
        7,
        {"count": 3, "time": None},
        Parent("take-001", 3),
        ("lead",),
        ("bars = 8",),
    )
    text = " ".join(page("ferry-lights", header).split())
    for words in (
        "Arrangement 2 of 3 of take-002",
        "seed 7",
        "ortools",
        "count 3",
        "Made from arrangement 3 of take-001",
        "Kept: lead",
        "Changed: bars = 8",
        'title = "Ferry lights"',
        "within",
    ):
        assert words in text
    assert "time None" not in text


def test_it_says_when_the_mix_is_softer_than_usual_and_not_otherwise() -> None:
    assert "below -20 LUFS" in page("one-rope", loudness=-22.5)
    assert "below -20 LUFS" not in page("one-rope")


def test_it_names_what_no_hand_can_play() -> None:
    plan = sample_plan("ferry-lights")
    ranked = replace(sample_ranked(plan, 1)[0], arrangement=Arrangement((Note("low", 20, 4, 30),)))
    take = Take(Path("take-001"), TakeHeader("ferry-lights", "", 0), "", (ranked,))
    text = notes_text(plan, take, 1, audio_for(plan))
    assert "No hand plays low as it stands on its electric guitar: bar 2, beat 2." in text
    assert "lead: lead, electric guitar; 0 notes, silent" in text


def test_feel_in_words() -> None:
    assert feel_words(GRID) == "None: every note is on the grid."
    assert "Played even" in feel_words(PLAYED)
    assert feel_words(PLAYED).endswith("These are the defaults.")
    words = feel_words(Feel(swing=1.5, drag={"low": -4.0}, lengths={"lead": "tenuto"}, asked=True))
    assert "swung 1.50 to 1; milliseconds behind the beat: low -4" in words
    assert "lengths: lead tenuto" in words
    assert "defaults" not in words
