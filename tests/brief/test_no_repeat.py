"""A lead that does not repeat though nobody asked for that: said only where a key would help, and it does help."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.brief.no_repeat import unasked
from solver.brief.planning import plan_from_text

TEXT = """key = "C major"
meter = "3/4"
bars = 32
chords = ["C", "F", "G", "C"]
[parts.lead]
[parts.low]
"""
SAID = (
    "lead does not repeat: a pass through the chords takes 16 bars, and a repeat at most 8; chord_bars = 2 or "
    "repeat_every = 16 would let it"
)


def test_it_is_noticed() -> None:
    plan = plan_from_text(TEXT, "quay")
    assert plan.part("lead").repeat_every is None
    assert plan.notices == (SAID,)


@pytest.mark.parametrize(
    "text",
    [
        TEXT.replace("bars = 32", "bars = 32\nchord_bars = 2"),
        TEXT.replace("[parts.low]", "repeat_every = 16\n[parts.low]"),
        TEXT.replace("[parts.low]", "repeat_every = 32\n[parts.low]"),
        TEXT.replace("[parts.lead]\n", ""),
        TEXT.replace("bars = 32", "bars = 4"),
    ],
)
def test_nothing_is_said_otherwise(text: str) -> None:
    assert plan_from_text(text, "quay").notices == ()


@given(
    st.integers(1, 32),
    st.lists(
        st.sampled_from([Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3), Fraction(4)]), min_size=1, max_size=8
    ),
)
def test_what_is_advised_helps(bars: int, lengths: list[Fraction]) -> None:
    said = unasked("lead", bars, tuple(lengths))
    if said is None or sum(lengths) > bars:
        return
    for key, value in re.findall(r"(chord_bars|repeat_every) = (\d+)", said):
        chords = ", ".join(['"C"'] * len(lengths))
        top = f'key = "C major"\nbars = {bars}\nchords = [{chords}]\n'
        each = ", ".join(str(float(length)) for length in lengths)
        top += f"chord_bars = {value}\n" if key == "chord_bars" else f"chord_bars = [{each}]\n"
        lead = f"[parts.lead]\n{f'repeat_every = {value}' if key == 'repeat_every' else ''}\n"
        plan = plan_from_text(f"{top}{lead}[parts.low]\n", "quay")
        assert plan.part("lead").repeat_every is not None
