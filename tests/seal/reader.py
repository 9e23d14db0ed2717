"""A second reader of envelopes, written from `resources/format/envelope.md` alone, without the program."""

import hashlib
import unicodedata

from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
FIXED = 8 + 1 + 1 + 2 + 1 + 8 + 16 + 32 + 1


def derived(given: bytes, salt: bytes, info: bytes) -> bytes:
    return HKDF(algorithm=SHA256(), length=32, salt=salt, info=info).derive(given)


def code_key(typed: str) -> bytes:
    letters = typed.upper().translate(str.maketrans("ILOU", "110V", " -"))
    assert len(letters) == 30
    assert set(letters) <= set(LETTERS)
    return derived(letters[:26].encode(), b"", b"carelog code")


def opened(file: bytes, letter: str, secret: bytes | str) -> bytes:
    """The content of an envelope; `secret` is the household's key, the code's key, or a passphrase."""
    assert file[:10] == bytes.fromhex("8c63 6172 656c 6f67 0101")
    length = int.from_bytes(file[10:12], "big")
    header = file[:length]
    assert hashlib.sha256(header[:-32]).digest() == header[-32:]
    size, salt = int.from_bytes(file[13:21], "big"), file[37:69]
    keys = {
        header[at : at + 1]: header[at + 1 : at + 49]
        for at in range(FIXED, FIXED + 49 * header[FIXED - 1], 49)
    }
    what = letter.encode()
    if isinstance(secret, str):
        typed = unicodedata.normalize("NFC", secret).encode()
        secret = Scrypt(salt=salt, length=32, n=131072, r=8, p=1).derive(typed)
    wrapping = derived(secret, salt, b"carelog wrap " + what)
    key = AESGCM(AESGCM(wrapping).decrypt(bytes(12), keys[what], header[:FIXED] + what))
    rest, content, number = file[length:], b"", 0
    while True:
        is_last = size - len(content) <= 65536
        step = min(65536, size - len(content)) + 16
        nonce = number.to_bytes(11, "big") + (b"\x01" if is_last else b"\x00")
        content += key.decrypt(nonce, rest[:step], header)
        rest, number = rest[step:], number + 1
        if is_last:
            assert rest == b""
            return content
