"""Sound of an arrangement: plucked strings or samples, one shared reverb, one gain, seamless loops."""
