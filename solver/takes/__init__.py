"""Takes on disk: the record take.json, the folder and its files. The public surface is ``solver.take``."""
