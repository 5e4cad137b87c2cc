"""Which findings are held back."""

from __future__ import annotations

from solver.brief.findings import Finding, Findings


def test_the_field_of_a_finding() -> None:
    assert Finding(("chords", 2), "", "").field == ("chords",)
    assert Finding(("parts", "lead", "tuning", 0), "", "").field == ("parts", "lead", "tuning")
    assert Finding(("parts", "lead"), "", "").field == ("parts", "lead")


def test_a_finding_that_rests_on_a_wrong_value_is_held_back() -> None:
    findings = Findings([Finding(("bars",), "wrong", "right")])
    findings.report(("parts", "lead", "repeat_every"), "w", "r", reads=[("bars",)])
    findings.report(("bars",), "again", "r")
    assert len(findings.found) == 1
    findings.report(("parts", "lead", "repeat_every"), "w", "r", reads=[("chords",)])
    assert [item.wrong for item in findings.found] == ["wrong", "w"]


def test_a_part_that_is_no_table_holds_back_all_of_it() -> None:
    findings = Findings([Finding(("parts", "lead"), "wrong", "right")])
    findings.report(("parts", "lead", "role"), "w", "r")
    findings.report(("parts", "low", "role"), "w", "r")
    assert [item.path for item in findings.found] == [("parts", "lead"), ("parts", "low", "role")]
