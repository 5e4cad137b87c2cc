"""Small briefs for tests of the page in a browser; all of them are invented."""

BRIEF = """# A bell and an engine, invented.
key = "A minor"
bars = 2
chords = ["Am", "F"]
count = 1
grid = 8

[parts.lead]
notes_per_bar = [2, 3]

[parts.low]
notes_per_bar = [2, 2]
"""
TOO_LOW = """key = "A minor"
bars = 2
chords = ["Am"]
chord_bars = 2
grid = 8
count = 1

[parts.lead]

[parts.low]
range = "E2..G#2"   # as low as the hull
"""
# The low part holds one pitch, the root: with another one locked in bar 2 nothing is left.
STILL = """key = "A minor"
meter = "2/4"
bars = 2
chords = ["Am"]
chord_bars = 2
grid = 2
count = 1

[parts.lead]
repeat_every = 2
notes_per_bar = [1, 2]

[parts.low]
notes_per_bar = [1, 1]
motion = "hold"
"""
