"""Briefs of the invented ferry town for tests of the exports, as plans."""

from __future__ import annotations

from functools import cache

from solver.brief.plan import Plan
from solver.brief.planning import plan_from_text

FERRY = """
title = "Ferry lights"
key = "B minor"
tempo = 138
bars = 8
chords = ["Bm", "G"]
chord_bars = 2

[parts.lead]
role = "lead"
instrument = "electric guitar"
repeat_every = 4

[parts.low]
role = "low"
instrument = "electric guitar"

[parts.middle]
role = "background"
instrument = "muted electric guitar"
"""

SLACK_WATER = """
title = "Slack water"
key = "D major"
tempo = 92
bars = 8
chords = ["D", "Bm", "G", "A"]
chord_bars = 1

[parts.lead]
role = "lead"
instrument = "acoustic guitar"
figure = "broken chord"

[parts.low]
role = "low"
instrument = "acoustic guitar"
"""

NIGHT_FERRY = """
title = "Night ferry"
key = "F dorian"
tempo = 84
bars = 16
chords = ["Fm9", "Bbmaj9"]
chord_bars = 2

[parts.lead]
role = "lead"
instrument = "electric guitar"

[parts.answer]
role = "counter"
instrument = "baritone guitar"

[parts.haze]
role = "background"
instrument = "muted electric guitar"

[parts.strum]
role = "chords"
instrument = "acoustic guitar"
texture = "chords"

[parts.low]
role = "low"
instrument = "bass guitar"
"""

HARBOUR_WALTZ = """
title = "Harbour waltz"
key = "A minor"
tempo = 126
meter = "3/4"
bars = 8
chords = ["Am", "E7", "F", "G/B"]
chord_bars = 1

[parts.lead]
role = "lead"
instrument = "nylon guitar"

[parts.strum]
role = "chords"
instrument = "nylon guitar"
texture = "dyads"

[parts.low]
role = "low"
instrument = "bass guitar"
"""

ONE_ROPE = """
title = "One rope"
key = "G major"
tempo = 200
bars = 1
chords = ["G"]

[parts.lead]
role = "lead"
instrument = "acoustic guitar"
"""

TEXTS = {
    "ferry-lights": FERRY,
    "slack-water": SLACK_WATER,
    "night-ferry": NIGHT_FERRY,
    "harbour-waltz": HARBOUR_WALTZ,
    "one-rope": ONE_ROPE,
}


@cache
def sample_plan(name: str) -> Plan:
    """The plan of one of the texts."""
    return plan_from_text(TEXTS[name], name)
