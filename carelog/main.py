"""Starts the program: the window without a sub-command, else the command."""

import sys
from collections.abc import Sequence


def main(argv: Sequence[str], *, is_last: bool = False) -> int:
    """Run the program with these words (without its own name) and return its exit status.

    `is_last`: the process ends with it.
    """
    from carelog import cli

    _leave_no_memory_behind()
    return cli.run(argv, is_last=is_last)


def _leave_no_memory_behind() -> None:
    """Let no crash write the memory, with what was typed in it, to a file, where the system asks us."""
    try:
        import resource
    except ImportError:  # Windows: crash files are the user's own there
        return
    try:
        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
    except (OSError, ValueError):
        return


def script() -> None:
    """The console script."""
    sys.exit(main(sys.argv[1:], is_last=True))
