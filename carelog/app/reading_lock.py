"""The code of the lock for reading: what is kept of it, and whether one that was typed is it.

It keeps curious eyes from what was written before; it encrypts nothing. Whoever can log in as this user can
read the files.
"""

import hashlib
import hmac
import os

SHORTEST = 4  # letters or digits
_SALT = 16
_N, _R, _P = 1 << 14, 8, 1  # some 50 ms and 16 MiB: the code is short, and typed often


def kept_of(code: str, salt: bytes | None = None) -> str:
    """What stands in the settings in place of the code: its salt and its scrypt hash, in hexadecimal."""
    drawn = os.urandom(_SALT) if salt is None else salt
    return f"{drawn.hex()}:{_hash(code, drawn).hex()}"


def fits(kept: str, code: str) -> bool:
    """Whether a typed code is the one that was kept; never for something else than `kept_of` makes."""
    salt, colon, wanted = kept.partition(":")
    try:
        found = _hash(code, bytes.fromhex(salt)).hex()
    except ValueError:
        return False
    return bool(colon) and hmac.compare_digest(found, wanted)


def _hash(code: str, salt: bytes) -> bytes:
    return hashlib.scrypt(
        code.strip().encode("utf-8", "surrogatepass"), salt=salt, n=_N, r=_R, p=_P, dklen=32
    )
