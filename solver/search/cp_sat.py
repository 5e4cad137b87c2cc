"""CP-SAT, imported without pandas.

ortools imports pandas for tables of variables, which nothing here uses, and that takes longer than all else at the
start of a command together. While it is imported, an empty stand-in takes the place of pandas, unless that is there
already; whoever imports pandas later gets the real one.

A ``Model`` is freed as soon as nobody refers to it. One of ortools refers to itself through the old names of its
methods, so that with all its native memory it waits for Python's collector of cycles: models of many rhythms at once.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import TYPE_CHECKING

PANDAS = "pandas"

if TYPE_CHECKING:
    from ortools.sat.python import cp_model
else:

    class _StandIn(ModuleType):
        """Has a class of any name, of which nothing is an instance."""

        def __getattr__(self, name: str) -> type:
            return type(name, (), {})

    absent = PANDAS not in sys.modules
    if absent:
        sys.modules[PANDAS] = _StandIn(PANDAS)
    try:
        from ortools.sat.python import cp_model
    finally:
        if absent:
            del sys.modules[PANDAS]


class Model(cp_model.CpModel):
    """A model without the old names of its methods."""

    def _add_pre_pep8_methods(self) -> None:
        """Add none of them."""


__all__ = ["Model", "cp_model"]
