"""CP-SAT comes without pandas, and leaves pandas as it is to others."""

from __future__ import annotations

import subprocess
import sys


def printed(*lines: str) -> str:
    """What a process of its own prints."""
    return subprocess.run(
        [sys.executable, "-c", "\n".join(lines)], capture_output=True, text=True, check=True
    ).stdout.strip()


def test_the_search_runs_without_pandas() -> None:
    assert (
        printed(
            "import sys, solver.search.pool",
            "print([name for name in sys.modules if name.split('.')[0] == 'pandas'])",
        )
        == "[]"
    )


def test_who_imports_pandas_later_gets_the_real_one() -> None:
    assert printed("import solver.search.cp_sat, pandas", "print(pandas.Series([1, 2]).sum())") == "3"


def test_pandas_that_is_there_already_stays() -> None:
    assert (
        printed(
            "import pandas as before, sys, solver.search.cp_sat",
            "print(sys.modules['pandas'] is before, solver.search.cp_sat.cp_model.pd is before)",
        )
        == "True True"
    )
