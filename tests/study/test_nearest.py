"""Where an arrangement comes nearest to what it keeps clear of."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from solver.arrangement import Arrangement, Nearest
from solver.avoided import Avoidance, Avoided, loop_line
from solver.brief.plan import Plan
from solver.study.nearest import nearest, nearest_words
from tests.rules.small import notes_of, plan_of

PLAN = plan_of("bars = 4", lead="", low="")
TUNE = "C4 D4 F4 E4 C4 G4 A4 F4"


def clear_of(plan: Plan, text: str) -> Plan:
    line = loop_line("tune", notes_of(plan, "lead", text), plan.slots, Fraction(1, 4))
    assert line is not None
    return replace(plan, avoid=Avoidance((Avoided("quay.mid", Fraction(4), (line,)),)))


def test_the_nearest_passage_with_its_bars() -> None:
    plan = clear_of(PLAN, f"C4 - - - | C4 - - - | {TUNE} | B3 - - -")
    lead, low = f"D5 - E5 - | {TUNE} | B3 - C#4 - | D5 - - -", "C3 - - - | G3 - - - | C3 - - - | C3 - - -"
    arrangement = Arrangement((*notes_of(plan, "lead", lead), *notes_of(plan, "low", low)))
    assert nearest(plan, arrangement) == (Nearest("quay.mid", "lead", (2, 3), "tune", (3, 4), 1.0, 8),)
    (words,) = (nearest_words(entry) for entry in nearest(plan, arrangement))
    assert (
        words
        == "quay.mid: lead, bars 2 to 3, to its tune, bars 3 to 4: similarity 1.00; longest shared run 8 intervals"
    )


def test_a_passage_round_the_seam_says_so() -> None:
    plan = clear_of(PLAN, f"{TUNE} | B3 - - - | C4 - - - | C4 - - -")
    turned = "B3 - - - | C4 - - - | C4 - - - | " + TUNE
    (entry,) = nearest(plan, Arrangement(notes_of(plan, "lead", turned)))
    assert (entry.bars, entry.source_bars, entry.similarity, entry.shared) == ((1, 4), (2, 1), 1.0, 11)
    assert "lead, bars 1 to 4, to its tune, bar 2 round to bar 1" in nearest_words(entry)


def test_plain_parts_have_no_passage() -> None:
    plan = clear_of(PLAN, " | ".join([TUNE] * 4))
    (entry,) = nearest(plan, Arrangement(notes_of(plan, "low", "C3 C3 C3 C3 | C3 - - - | C3 - - - | C3 - - -")))
    assert entry == Nearest("quay.mid", None, (), None, (), 0.0, 0)
    assert nearest_words(entry) == "quay.mid: only plain passages to compare; longest shared run 0 intervals"


def test_nothing_to_keep_clear_of() -> None:
    assert nearest(PLAN, Arrangement(notes_of(PLAN, "lead", " | ".join([TUNE] * 4)))) == ()
