"""What a brief's ``prefer`` makes of the merits' weights, and what may be wrong with its names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from solver.brief.findings import Findings
from solver.music.faults import nearest, quoted

KEY = "prefer"
SHORTEST_PIECE = 4  # letters of a merit's name that say which one is meant


def merit_weights(prefer: Mapping[str, float], findings: Findings) -> dict[str, int]:
    """The weight of every merit in hundredths. Raises TableFault where the table of weights cannot be read."""
    # Merits know more of music than a brief needs before it is read: imported here, they cost ``--help`` nothing.
    from solver.merits import short_names
    from solver.search.weights import load_weights, merit_key, weighted

    usual = load_weights()
    names = short_names() | {key: name for name in usual for key in (name, merit_key(name))}
    chosen: dict[str, float] = {}
    for key, factor in prefer.items():
        name = names.get(key)
        if name is None:
            right = _meant(key, [merit_key(name) for name in usual], short_names())
            findings.report((KEY, key), f"no merit is called {quoted(key)}", right, at_key=True)
        elif name in chosen:
            findings.report((KEY, key), f'the merit "{name}" stands here twice', "give each merit once", at_key=True)
        else:
            chosen[name] = factor
    weights = weighted(usual, chosen)
    if not any(weights.values()):
        findings.report(
            (KEY,), "no merit is left that counts", "give one a factor, or in weights.toml a weight, above 0"
        )
    return weights


def _meant(key: str, keys: Iterable[str], short: Iterable[str]) -> str:
    """The merit that a mistyped or shortened name most likely means, else all of them by their whole names."""
    known = list(keys)
    wanted = key.strip().lower().replace(" ", "_")
    holding = [name for name in known if len(wanted) >= SHORTEST_PIECE and wanted in name]
    near = holding[0] if holding else nearest(wanted, [*known, *short])
    return f'did you mean "{near}"?' if near else "the merits are " + ", ".join(known)
