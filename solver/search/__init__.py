"""Stage 2, what sounds: the exact pitch model, solving, the pool of arrangements, ranking."""
