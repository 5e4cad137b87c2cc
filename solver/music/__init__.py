"""Facts of music that need no solver: pitch, scales, chords, metre, instruments, the fretboard."""
