"""Whether a print queue takes jobs: Qt hands the pages over and isn't told when the queue refuses them."""

import os
import shutil
import subprocess

PATIENCE = 5  # s
_CLOSED = "not accepting requests"


def is_closed(name: str) -> bool:
    """Whether the queue of this name refuses jobs, where the system has CUPS; False where nobody can say."""
    program = shutil.which("lpstat")
    if not name or program is None:
        return False
    try:
        asked = subprocess.run(
            [program, "-a", name],
            env={**os.environ, "LC_ALL": "C"},
            capture_output=True,
            text=True,
            timeout=PATIENCE,
            check=False,
        )
    except (OSError, subprocess.SubprocessError):
        return False
    return _CLOSED in asked.stdout
