"""Wrong briefs: each gives one line with the exact place, what is wrong, and what would be right."""

from __future__ import annotations

import pytest

from tests.brief.texts import GOOD, errors_of, with_part, with_top, without

WRONG = [
    # keys
    (with_top("colour = 1"), 1, 1, 'unknown key "colour"; the keys are title, key'),
    (with_top("tempoo = 90"), 1, 1, 'unknown key "tempoo"; did you mean "tempo"?'),
    (with_top("Grid = 12"), 1, 1, 'unknown key "Grid"; did you mean "grid"?'),
    (with_top('range = "E3..E5"'), 1, 1, "it belongs to a part"),
    (GOOD + '[middle]\nrole = "background"\n', 11, 2, 'unknown key "middle"; write [parts.middle]'),
    (with_part('role = "counter"', "tempo = 90"), 14, 1, "it belongs to the whole brief"),
    (with_part('role = "counter"', 'figur = "steps"'), 14, 1, 'unknown key "figur"; did you mean "figure"?'),
    (with_part('role = "counter"', 'a."b c" = 1'), 14, 1, 'unknown key "a"'),
    (without("key"), 1, 1, 'the key "key" is missing; add key = "B minor"'),
    (without("bars"), 1, 1, 'the key "bars" is missing; add bars = 8'),
    (without("chords"), 1, 1, 'the key "chords" is missing; add chords = ["Bm", "G"]'),
    ('key = "B minor"\nbars = 8\nchords = ["Bm"]\n', 1, 1, 'the key "parts" is missing; add [parts.lead]'),
    (with_part(), 12, 1, 'the part "more" has no role; add role with one of "lead"'),
    (with_top("swing = 1.5"), 1, 1, "it belongs to how the loop is played: write it below a header [feel]"),
    (GOOD + "[feel]\nswin = 2\n", 12, 1, 'unknown key "swin"; did you mean "swing"?'),
    (GOOD + "[feel]\ntempo = 2\n", 12, 1, 'unknown key "tempo"; the keys are swing, swing_on'),
    # how it is played
    (with_top('feel = "some"'), 1, 8, 'feel is the text "some"; write "none", or a table such as [feel]'),
    (with_top("feel = 3"), 1, 8, 'feel is 3; write "none", or a table'),
    (GOOD + "[feel]\nswing = 4\n", 12, 9, "feel.swing is 4; write a ratio from 1 (even) to 3.5"),
    (GOOD + '[feel]\nswing = "much"\n', 12, 9, 'or "by tempo"'),
    (GOOD + '[feel]\nswing_on = "4ths"\n', 12, 12, 'did you mean "8ths"?'),
    (GOOD + "[feel]\ndrag = { leed = 3 }\n", 12, 8, 'feel.drag: "leed" is no role; the roles are lead,'),
    (GOOD + "[feel]\ndrag = { lead = 41 }\n", 12, 8, "feel.drag has lead = 41; write a table of roles"),
    (GOOD + "[feel]\nlengths = { lead = 'short' }\n", 12, 11, "one of written, tenuto, muted, ring"),
    (GOOD + "[feel]\naccent = 3\n", 12, 10, "accent is 3; write a factor from 0 to 2"),
    (GOOD + "[feel]\nspread = true\n", 12, 10, "spread is true; write milliseconds from 0 to 20"),
    (
        with_top('meter = "7/8"') + '[feel]\nswing = 2\nswing_on = "8ths"\n',
        14,
        12,
        'pairs of eighths do not follow the beats of 7/8; write "16ths"',
    ),
    (with_top("grid = 12") + "[feel]\nswing = 2\n", 12, 1, "a bar of 12 slots has no 8ths to swing; change grid"),
    # values of one key
    (with_top("tempo = 301"), 1, 9, "tempo is 301; write a number of quarter notes a minute from 30 to 300"),
    (with_top("tempo = 29.5"), 1, 9, "tempo is 29.5; write a number"),
    (with_top("tempo = nan"), 1, 9, "tempo is nan; write a number"),
    (with_top('tempo = "fast"'), 1, 9, 'tempo is the text "fast"; write a number'),
    (with_top("tempo = true"), 1, 9, "tempo is true; write a number"),
    (with_top("tempo = 1979-05-27"), 1, 9, "tempo is a date or a time; write a number"),
    (GOOD.replace("bars = 8", "bars = 0"), 3, 8, "bars is 0; write a whole number from 1 to 32"),
    (GOOD.replace("bars = 8", "bars = 33"), 3, 8, "bars is 33; write a whole number from 1 to 32"),
    (GOOD.replace("bars = 8", "bars = 8.0"), 3, 8, "bars is 8.0; write a whole number from 1 to 32"),
    (GOOD.replace("bars = 8", f"bars = 0x{'f' * 1900}"), 3, 8, "bars is a number far too large"),
    (with_top("seed = -1"), 1, 8, "seed is -1; write a whole number from 0"),
    (with_top("count = 0"), 1, 9, "count is 0; write a whole number from 1 to 100"),
    (
        with_top("prefer = { small_moves = 6 }"),
        1,
        26,
        'prefer "small_moves" is 6; write a factor from 0 to 5, such as { small_',
    ),
    (with_top("prefer = { syncopation_suits = 2 }"), 1, 12, 'did you mean "syncopation_suits_the_role"?'),
    (with_top("prefer = { smal_moves = 2 }"), 1, 12, 'no merit is called "smal_moves"; did you mean "small_moves"?'),
    (
        with_top('prefer = { "Small moves" = 2 }'),
        1,
        12,
        'no merit is called "Small moves"; did you mean "small_moves"?',
    ),
    (with_top("prefer = { loudness = 2 }"), 1, 12, 'no merit is called "loudness"; the merits are small_moves'),
    (with_top('prefer = { small_moves = 2, "small moves" = 1 }'), 1, 29, 'the merit "small moves" stands here twice'),
    (with_top("prefer = 2"), 1, 10, "prefer is 2; write a table of merits"),
    (GOOD.replace('"Pier"', '""'), 1, 9, "the title is blank"),
    (GOOD.replace('"Pier"', '"a\\nb"'), 1, 9, "holds a character that cannot be printed"),
    (GOOD.replace('"Pier"', f'"{"a" * 101}"'), 1, 9, f'title is the text "{"a" * 39}…"; write one line'),
    (GOOD.replace('"B minor"', '"B"'), 2, 7, '"B" does not name a mode'),
    (GOOD.replace('"B minor"', '"H minor"'), 2, 7, '"H" is not a note name'),
    (GOOD.replace('"B minor"', '"B minr"'), 2, 7, 'did you mean "B minor"?'),
    (GOOD.replace('"B minor"', "7"), 2, 7, "key is 7; write a tonic and a mode"),
    (with_top('meter = "9/16"'), 1, 9, "9/16 is not known here; use one of 2/4, 3/4, 4/4"),
    (with_top('meter = "common"'), 1, 9, '"common" is not a metre'),
    (GOOD.replace('["Bm", "G"]', "[]"), 4, 10, "chords is an empty list; write a list of chord symbols"),
    (GOOD.replace('["Bm", "G"]', '"Bm"'), 4, 10, 'chords is the text "Bm"; write a list of chord symbols'),
    (GOOD.replace('["Bm", "G"]', '["Bm", "H7"]'), 4, 17, '"H7" is not a chord symbol'),
    (GOOD.replace('["Bm", "G"]', '[\n  "Bm", # x\n  "Gmajj"]'), 6, 3, '"majj" in chord "Gmajj" is not a chord quality'),
    (GOOD.replace('["Bm", "G"]', '["Bm", 5]'), 4, 17, "chords entry 2 is 5; write a list of chord symbols"),
    (GOOD.replace('["Bm", "G"]', '["Bm", "G/H"]'), 4, 17, '"H" after the slash'),
    (GOOD.split("[parts")[0] + "parts = 3\n", 6, 9, "parts is 3; write 1 to 6 tables such as [parts.lead]"),
    (GOOD.split("[parts")[0] + "[parts]\n", 6, 1, "the brief has no part; add a table such as [parts.lead]"),
    (GOOD.split("[parts")[0] + "[parts]\nlead = 3\n", 7, 8, "part lead is 3; write a table with a role"),
    (
        GOOD.split("[parts")[0] + '[parts]\nrole = "lead"\n',
        7,
        8,
        'part role is the text "lead"; write a table with a role',
    ),
    (with_part('role = "led"'), 13, 8, 'did you mean "lead"? One of "lead", "low", "background", "chords", "counter"'),
    (with_part("role = 3"), 13, 8, 'role is 3; use one of "lead", "low"'),
    (with_part('role = ["low"]'), 13, 8, 'role is a list of 1; use one of "lead", "low"'),
    (with_part("role = {}"), 13, 8, 'role is a table; use one of "lead", "low"'),
    (with_part('role = "low"', 'figure = "step"'), 14, 10, 'did you mean "steps"?'),
    (with_part('role = "low"', 'motion = "sideways"'), 14, 10, 'use one of "free", "down", "up", "hold"'),
    (with_part('role = "low"', 'texture = "dyad"'), 14, 11, 'did you mean "dyads"?'),
    (with_part('role = "low"', 'range = "E2"'), 14, 9, '"E2" is not a range; write the lowest and the highest'),
    (with_part('role = "low"', 'range = "E5..E3"'), 14, 9, '"E5..E3" has its higher note first; write "E3..E5"'),
    (with_part('role = "low"', 'range = "E2..H3"'), 14, 9, '"H3" is not a note with its octave'),
    (with_part('role = "low"', "notes_per_bar = [4, 2]"), 14, 17, "[4, 2] has the larger number first; write [2, 4]"),
    (with_part('role = "low"', "notes_per_bar = 4"), 14, 17, "notes_per_bar is 4; write two whole numbers"),
    (with_part('role = "low"', "notes_per_bar = [1, 2, 3]"), 14, 17, "notes_per_bar is a list of 3; write two whole"),
    (with_part('role = "low"', "notes_per_bar = [1]"), 14, 17, "notes_per_bar is a list of 1; write two whole"),
    (with_part('role = "low"', "notes_per_bar = []"), 14, 17, "notes_per_bar is an empty list; write two whole"),
    (with_part('role = "low"', "notes_per_bar = [1, 2.5]"), 14, 21, "notes_per_bar entry 2 is 2.5; write two whole"),
    (with_part('role = "low"', "repeat_every = 0"), 14, 16, "repeat_every is 0; write a whole number of bars"),
    (with_part('role = "low"', "capo = -1"), 14, 8, "capo is -1; write a whole number from 0 (no capo) to 12"),
    (with_part('role = "low"', 'tuning = ["E2", "X2", "D3"]'), 14, 17, '"X2" is not a note with its octave'),
    (with_part('role = "low"', "tuning = 5"), 14, 10, 'tuning is 5; write "standard", "drop D" or a list'),
    # several keys together
    (with_top("grid = 10"), 1, 8, "10 slots do not divide a bar of 4/4"),
    (with_top('grid = 16\nmeter = "3/4"'), 1, 8, "16 slots do not divide a bar of 3/4"),
    (
        GOOD.replace('"G"]', '"G", "A"]').replace("= 8", "= 7"),
        4,
        10,
        "3 chords do not share 7 bars evenly; give chord_bars",
    ),
    (with_top("chord_bars = [3]"), 1, 14, "chord_bars has 1 entries for 2 chords; give chord_bars, one number"),
    (with_top("chord_bars = [3, 0.3]"), 1, 18, "a chord of 0.3 bars does not end on a slot"),
    (with_top("chord_bars = 0.01"), 1, 14, "a chord of 0.01 bars does not end on a slot"),
    (with_top("chord_bars = 0"), 1, 14, "chord_bars is 0; write a number of bars above 0"),
    (with_top("chord_bars = [1, -1]"), 1, 18, "chord_bars entry 2 is -1; write a number of bars above 0"),
    (with_top('chord_bars = "2"'), 1, 14, 'chord_bars is the text "2"; write a number of bars'),
    (with_top("chord_bars = 5"), 1, 14, "the chords last 10 bars, the loop 8; shorten the chords"),
    (with_part('role = "low"', 'instrument = "electrc guitar"'), 14, 14, 'did you mean "electric guitar"?'),
    (with_part('role = "low"', 'instrument = "kazoo"'), 14, 14, "use one of electric guitar, muted electric guitar"),
    (with_part('role = "low"', 'tuning = "upside down"'), 14, 10, 'the electric guitar has no tuning "upside down"'),
    (with_part('role = "low"', 'tuning = ["E3", "A2", "D3"]'), 14, 10, "list the strings from low to high"),
    (
        with_part('instrument = "bass guitar"', 'role = "low"', 'range = "E1..E5"'),
        15,
        9,
        "which has E1..D#4; stay within",
    ),
    (with_part('role = "low"', "capo = 3", 'range = "E2..E3"'), 15, 9, "which with a capo at fret 3 has G2..D6"),
    (with_part('role = "chords"', 'range = "E3..G3"'), 14, 9, "a range of 3 semitones is too narrow for chords"),
    (
        with_part('role = "low"', "notes_per_bar = [1, 17]"),
        14,
        17,
        "17 notes do not fit a bar of 16 slots; use at most 16",
    ),
    (with_part('role = "low"', "notes_per_bar = [0, 0]"), 14, 17, "the part would have no notes"),
    (
        with_part('role = "low"', "repeat_every = 3"),
        14,
        16,
        "3 bars do not divide the loop of 8 bars; use one of 1, 2, 4",
    ),
    (with_part('role = "lead"', "vary_notes = [1, 7]"), 14, 14, "7 notes cannot be varied in a bar of at most 5"),
    (with_part('role = "low"', "vary_notes = [1, 1]"), 14, 14, "the part does not repeat, so nothing varies"),
    (
        with_part('role = "lead"', 'figure = "broken chord"', 'texture = "dyads"'),
        15,
        11,
        "a broken chord is played note by note, not in dyads",
    ),
    (GOOD.replace("parts.low", 'parts."low:er"'), 9, 8, '"low:er" cannot name a part; use up to 40 letters'),
    (GOOD.replace("parts.low", "parts.con"), 9, 8, '"con" cannot name a part'),
    (GOOD.replace("parts.low", f"parts.{'x' * 41}"), 9, 8, f'"{"x" * 40}" cannot name a part'),
    (GOOD.replace("parts.low", "parts.Lead"), 9, 8, 'the parts "lead" and "Lead" differ in capitals only'),
    (
        GOOD + "".join(f"[parts.more{n}]\nrole = 'counter'\n" for n in range(5)),
        6,
        1,
        "the brief has 7 parts; use at most 6",
    ),
]


@pytest.mark.parametrize(("text", "line", "column", "words"), WRONG, ids=[case[3][:50] for case in WRONG])
def test_one_error_at_its_place(text: str, line: int, column: int, words: str) -> None:
    (error,) = errors_of(text)
    assert (error.line, error.column) == (line, column), str(error)
    assert words in str(error)
    assert str(error).startswith(f"pier.toml:{line}:{column}: ")
    assert "\n" not in str(error)


def test_the_brief_that_the_wrong_ones_are_made_of_is_right() -> None:
    assert errors_of(GOOD) == ()
    assert errors_of(with_part('role = "counter"')) == ()
    assert errors_of(with_top("tempo = 90")) == ()


def test_all_errors_at_once_in_the_order_of_the_file() -> None:
    text = with_top("tempo = 500").replace('"B minor"', '"B"').replace('"G"', '"H"') + "repeat_every = 3\nfoo = 1\n"
    assert [(error.line, error.column) for error in errors_of(text)] == [(1, 9), (3, 7), (5, 17), (12, 16), (13, 1)]


def test_nothing_is_said_that_rests_on_a_wrong_value() -> None:
    """The range may well be right for the instrument that was meant, and three bars for the right number of bars."""
    text = GOOD.replace("bars = 8", 'bars = "9"') + 'instrument = "bas gitar"\nrange = "E1..E3"\nrepeat_every = 3\n'
    assert [error.wrong for error in errors_of(text)] == ['bars is the text "9"', 'no instrument is called "bas gitar"']
