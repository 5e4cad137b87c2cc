"""Names of parts."""

from __future__ import annotations

import pytest

from solver.brief.findings import Findings
from solver.brief.part_names import check_names


@pytest.mark.parametrize("name", ["lead", "my lead", "low-2", "a_b", "7", "x" * 40, "console", "com"])
def test_names_that_can_be_used(name: str) -> None:
    findings = Findings()
    check_names([name], findings)
    assert findings.found == []


@pytest.mark.parametrize("name", ["", " ", " lead", "lead ", "a:b", "a/b", "a.b", "é", "a\n", "x" * 41, "NUL", "com1"])
def test_names_that_cannot_be_used(name: str) -> None:
    findings = Findings()
    check_names([name], findings)
    (finding,) = findings.found
    assert finding.path == ("parts", name)
    assert finding.at_key


def test_names_that_differ_in_capitals_only() -> None:
    findings = Findings()
    check_names(["Lead", "low", "LEAD"], findings)
    assert [finding.path for finding in findings.found] == [("parts", "LEAD")]


def test_one_to_six_parts() -> None:
    for count, wrong in ((0, 1), (1, 0), (6, 0), (7, 1)):
        findings = Findings()
        check_names([f"p{number}" for number in range(count)], findings)
        assert len(findings.found) == wrong
