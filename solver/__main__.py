"""``sennit`` and ``python -m solver``: nothing is imported here before Ctrl-C is heard."""

import sys


def main() -> None:
    """Run the command that the program's arguments name, and exit with its code; Ctrl-C gives 130 from the start on."""
    try:
        from solver.cli import main as command

        code = command()
    except KeyboardInterrupt:
        sys.stderr.write("sennit: interrupted\n")
        code = 130
    # Where Ctrl-C cuts an exec short, as in the import of a dataclass, CPython ends by the signal whatever code the
    # program exits with, unless another exec has ended well since.
    exec("pass")
    sys.exit(code)


if __name__ == "__main__":
    main()
