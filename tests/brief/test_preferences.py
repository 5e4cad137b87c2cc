"""From ``prefer`` to the weights of the merits."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from solver.brief.errors import BriefErrors
from solver.brief.findings import Findings
from solver.brief.planning import plan_from_text
from solver.brief.preferences import merit_weights
from solver.merits import every_merit, short_names
from solver.search.weights import load_weights, merit_key
from tests.brief.texts import GOOD, errors_of, with_top

NAMES = [merit.name for merit in every_merit()]


def test_without_prefer_each_weight_is_the_table_s_in_hundredths() -> None:
    usual = load_weights()
    assert plan_from_text(GOOD, "pier").weights == {name: 100 * weight for name, weight in usual.items()}
    assert set(usual) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("write", [str, merit_key], ids=["name", "key"])
def test_a_factor_multiplies_one_weight_alone(name: str, write: Callable[[str], str]) -> None:
    findings = Findings()
    usual, weights = merit_weights({}, findings), merit_weights({write(name): 1.5}, findings)
    assert weights.pop(name) == round(1.5 * usual.pop(name))
    assert weights == usual
    assert findings.found == []


def test_a_short_name_is_the_name_of_the_merits_file() -> None:
    assert set(short_names().values()) == set(NAMES)
    weights = plan_from_text(with_top("prefer = { contrary_motion = 2 }"), "pier").weights
    name = "lead and low go their own ways"
    assert weights[name] == 200 * load_weights()[name]


def test_a_merit_left_out_has_no_weight() -> None:
    assert plan_from_text(with_top("prefer = { small_moves = 0 }"), "pier").weights["small moves"] == 0


def test_one_merit_has_to_count() -> None:
    factors = ", ".join(f"{merit_key(name)} = 0" for name in NAMES)
    (error,) = errors_of(with_top(f"prefer = {{ {factors} }}"))
    assert str(error).startswith("pier.toml:1:10: no merit is left that counts; give one a factor")


def test_every_wrong_name_and_factor_is_told() -> None:
    text = GOOD.replace("[parts", "prefer = { contrary_motoin = 2, blend = 9, tide = 1, seam = 2 }\n[parts", 1)
    with pytest.raises(BriefErrors) as caught:
        plan_from_text(text, "pier")
    wrong = [error.wrong for error in caught.value.errors]
    assert wrong == ['no merit is called "contrary_motoin"', 'prefer "blend" is 9', 'no merit is called "tide"']
    assert caught.value.errors[0].right == 'did you mean "contrary_motion"?'


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("loudness = 3\n", "weights.toml: loudness: there is no such merit; the merits are: small moves"),
        ('["small moves"]\nweight = -1\n', "weights.toml: small moves.weight: -1 is no weight; write a whole number"),
        ('["small moves"]\nweight = 1\n', "weights.toml: leaps turn back: the merit has no weight; give it a row"),
        ('["small moves"\n', "weights.toml: it is not TOML"),
    ],
)
def test_a_wrong_table_of_weights_is_one_line(
    table: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shared").mkdir()
    (tmp_path / "shared" / "weights.toml").write_text(table, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(BriefErrors) as caught:
        plan_from_text(GOOD, "pier")
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_reading_a_brief_imports_no_solver() -> None:
    script = (
        "import sys; from solver.brief.planning import plan_from_text; "
        f"plan_from_text({GOOD!r}, 'pier'); print('ortools' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
