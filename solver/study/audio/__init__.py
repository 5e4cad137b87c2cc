"""Study of sound: notes, tempo, bars, key and chords, all of them estimates."""
