"""Keys: what the household's key, the recovery code and a passphrase come down to, and one key in another."""

import unicodedata

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

SIZE = 32  # bytes of every key
WRAPPED = SIZE + 16  # a key and its tag
SCRYPT_N, SCRYPT_R, SCRYPT_P = 1 << 17, 8, 1
_ONCE = bytes(12)  # each wrapping key is made for one file, and wraps one key


def of_code(code: str) -> bytes:
    """The key that a recovery code stands for; only its 26 random letters take part."""
    return _derived(code[:26].encode("ascii"), b"", b"carelog code")


def of_passphrase(passphrase: str, salt: bytes) -> bytes:
    """The key that a passphrase stands for in one file (scrypt, RFC 7914: 128 MiB, about a second)."""
    composed = unicodedata.normalize("NFC", passphrase).encode("utf-8", "surrogatepass")
    return Scrypt(salt=salt, length=SIZE, n=SCRYPT_N, r=SCRYPT_R, p=SCRYPT_P).derive(composed)


def wrap(key: bytes, by: bytes, salt: bytes, what: bytes, head: bytes) -> bytes:
    """A key, encrypted by another for one file; `what` tells which of the file's keys it is."""
    return AESGCM(_derived(by, salt, b"carelog wrap " + what)).encrypt(_ONCE, key, head + what)


def unwrap(wrapped: bytes, by: bytes, salt: bytes, what: bytes, head: bytes) -> bytes | None:
    """The key in it; None when it was wrapped by another."""
    try:
        return AESGCM(_derived(by, salt, b"carelog wrap " + what)).decrypt(_ONCE, wrapped, head + what)
    except InvalidTag:
        return None


def _derived(key: bytes, salt: bytes, info: bytes) -> bytes:
    return HKDF(algorithm=SHA256(), length=SIZE, salt=salt, info=info).derive(key)
