"""Envelopes for the tests of them."""

import io

from carelog.seal import code, keys
from carelog.seal.envelope import RECORD, Household, Means, open_header, seal, unseal

CODE = code.make(bytes(range(26)))
OTHER_CODE = code.make(bytes(range(1, 27)))
HOUSEHOLD = Household(b"h" * 16, b"k" * 32, keys.of_code(CODE))
OTHER = Household(b"o" * 16, b"q" * 32, keys.of_code(OTHER_CODE))
AT_HOME = Means((HOUSEHOLD,))


def sealed(content: bytes, by: Household | str = HOUSEHOLD, kind: int = RECORD) -> bytes:
    """An envelope around some bytes."""
    return b"".join(seal(io.BytesIO(content), len(content), by, kind))


def opened(file: bytes, means: Means = AT_HOME) -> bytes:
    """What lies in an envelope; `Refused` when it can't be had whole."""
    source = io.BytesIO(file)
    return b"".join(unseal(source, "copy", open_header(source, "copy", means)))
