"""MIDI files as references: voices, tempo, metre, what is left out and said."""

from __future__ import annotations

import io
from fractions import Fraction

import pytest
from mido import Message, MetaMessage, MidiFile, MidiTrack

from solver.study import midi_source
from solver.study.errors import Unreadable
from solver.study.midi_source import read_midi_reference
from solver.study.reference import Reference, Tone


def track(*messages: Message | MetaMessage) -> MidiTrack:
    return MidiTrack(messages)


def note(pitch: int, ticks: int, channel: int = 0, wait: int = 0) -> list[Message]:
    return [
        Message("note_on", note=pitch, channel=channel, time=wait),
        Message("note_off", note=pitch, channel=channel, time=ticks),
    ]


def read(*tracks: MidiTrack, kind: int = 1, ticks: int = 480) -> Reference:
    file = MidiFile(type=kind, ticks_per_beat=ticks)
    file.tracks.extend(tracks)
    buffer = io.BytesIO()
    file.save(file=buffer)
    return read_midi_reference(buffer.getvalue())


def test_a_voice_for_each_track_with_notes() -> None:
    one = track(MetaMessage("track_name", name="Lamp"), Message("program_change", program=27), *note(60, 480))
    reference = read(track(MetaMessage("set_tempo", tempo=400_000)), one, track(*note(40, 240)))
    assert [(voice.name, voice.program) for voice in reference.voices] == [("Lamp", 27), ("", None)]
    assert reference.voices[0].tones == (Tone(Fraction(0), Fraction(1), 60),)
    assert reference.tempo == 150
    assert reference.metre is None
    assert reference.remarks == ()


def test_a_track_with_several_channels_is_several_voices() -> None:
    mixed = track(MetaMessage("track_name", name="all"), *note(60, 480, 0), *note(40, 480, 3), *note(35, 480, 9))
    reference = read(mixed, kind=0)
    assert [voice.name for voice in reference.voices] == ["all 1", "all 4"]
    assert reference.remarks == ("1 drum notes (channel 10) are left out.",)


@pytest.mark.parametrize("ticks", [96, 480, 960, 25])
def test_any_resolution(ticks: int) -> None:
    reference = read(track(*note(60, ticks), *note(62, ticks)), ticks=ticks)
    assert [tone.start for tone in reference.voices[0].tones] == [0, 1]


def test_the_metre_that_lasts_longest() -> None:
    head = track(
        MetaMessage("time_signature", numerator=2, denominator=4),
        MetaMessage("time_signature", numerator=3, denominator=4, time=960),
    )
    reference = read(head, track(*note(60, 9600)))
    assert reference.metre == (3, 4)
    assert reference.remarks == ("The metre changes; all bars are counted in 3/4, which lasts longest.",)


def test_changes_of_tempo_and_hanging_notes_are_told() -> None:
    head = track(MetaMessage("set_tempo", tempo=500_000), MetaMessage("set_tempo", tempo=400_000, time=480))
    reference = read(head, track(Message("note_on", note=60), *note(62, 960)))
    assert reference.tempo == 120
    assert reference.remarks == (
        "The tempo changes between 120 and 150; the first one is given.",
        "1 notes are never released; they are read as held to their track's end.",
    )


@pytest.mark.parametrize(("key", "words"), [("F#m", "F# minor"), ("Bb", "Bb major")])
def test_the_key_signature_in_words(key: str, words: str) -> None:
    assert read(track(MetaMessage("key_signature", key=key)), track(*note(60, 480))).signature == words


def test_a_note_without_length_has_one() -> None:
    tone = read(track(*note(60, 0))).voices[0].tones[0]
    assert tone.end > tone.start


def test_foreign_chunks_are_passed_over_and_told() -> None:
    buffer = io.BytesIO()
    file = MidiFile()
    file.tracks.append(track(Message("program_change", program=5), *note(60, 480)))
    file.save(file=buffer)
    data = buffer.getvalue()
    reference = read_midi_reference(data[:14] + b"XFIH\0\0\0\2ab" + data[14:])
    assert reference.voices[0].program is None
    assert reference.remarks == ("The file holds chunks of another kind; programs and changes of tempo are not known.",)


def test_broken_bytes() -> None:
    with pytest.raises(Unreadable, match="does not begin with MThd"):
        read_midi_reference(b"MThx")


def test_more_notes_than_a_song_has_are_refused_before_the_long_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(midi_source, "MOST_NOTES", 3)
    drums = track(*(message for _ in range(9) for message in note(40, 10, channel=9)))
    assert read(track(*note(60, 480), *note(62, 480), *note(64, 480)), drums).voices
    monkeypatch.setattr(midi_source, "_facts_of", None)
    with pytest.raises(Unreadable, match="the file has 4 notes, and at most 3 are studied; give a loop or a song"):
        read(track(*note(60, 480), *note(62, 480)), track(*note(64, 480), *note(65, 480)))
    monkeypatch.setattr(midi_source, "LARGEST", 100)
    monkeypatch.setattr(midi_source, "parse_sequence", None)
    with pytest.raises(Unreadable, match="larger than 0 MB"):
        read(track(*(message for _ in range(30) for message in note(60, 480))))
