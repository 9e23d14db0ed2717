"""Starts the program: the window without a sub-command, else the command."""

import sys
from collections.abc import Sequence


def main(argv: Sequence[str]) -> int:
    """Run the program with these words (without its own name) and return its exit status."""
    from carelog import cli

    return cli.run(argv)


def script() -> None:
    """The console script."""
    sys.exit(main(sys.argv[1:]))
