"""Study of a reference: what its notes say of key, chords, form and parts, and a brief that leads to its kind."""
