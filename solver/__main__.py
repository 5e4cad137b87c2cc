"""``python -m solver`` is ``sennit``."""

from solver.cli import main

if __name__ == "__main__":
    main()
