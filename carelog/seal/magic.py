"""How a file begins that is an envelope; asked of every copy, and so without what opens one."""

from enum import Enum, auto
from pathlib import Path

MAGIC = b"\x8ccarelog"


class Opener(Enum):
    """What somebody types to open an envelope."""

    CODE = auto()
    PASSPHRASE = auto()


def is_envelope(start: bytes) -> bool:
    """Whether a file that begins like this is an envelope."""
    return start.startswith(MAGIC)


def is_sealed(file: Path) -> bool:
    """Whether it is a file that begins as envelopes do. `OSError` if it can't be read."""
    if not file.is_file():
        return False
    with file.open("rb") as source:
        return is_envelope(source.read(len(MAGIC)))
