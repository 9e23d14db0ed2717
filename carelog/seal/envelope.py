"""The envelope around whatever leaves the house: made and opened piece by piece, in flat memory."""

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from carelog.domain.trouble import Refused, Trouble
from carelog.seal import keys
from carelog.seal.magic import MAGIC
from carelog.text import mark, say

VERSION, SUITE = 1, 1
CHUNK, TAG = 64 * 1024, 16
HOME, SALT = 16, 32  # bytes
RECORD, FILE = 1, 2  # what lies in it: a record, another file
BY_HOUSEHOLD, BY_CODE, BY_PASSPHRASE, HOUSEHOLD_BY_CODE = b"H", b"C", b"P", b"K"
_START = len(MAGIC) + 4  # magic, version, suite, the header's length
_SIZE = 8
_FIXED = _START + 1 + _SIZE + HOME + SALT + 1
_DIGEST = 32
_MOST_TRIED = 4096  # places of a piece that is in the wrong one

SPOILED = mark("“{name}” isn't as it was written, so nothing was taken from it. Try another copy.")
CUT = mark("The end of “{name}” is missing, so nothing was taken from it. Try another copy.")
MIXED = mark("Parts of “{name}” stand in the wrong order, so nothing was taken from it. Try another copy.")
APPENDED = mark("Something was added to the end of “{name}”, so nothing was taken from it. Try another copy.")
CHANGED = mark("The file changed while it was being encrypted. Nothing was written. Try again.")
NEWER = mark("“{name}” was written by a newer carelog. Open it with that one. Nothing was taken from it.")
FOREIGN = mark(
    "“{name}” is another household's, or was made before this code. Its own recovery code opens it."
)
NEEDS_CODE = mark("“{name}” is encrypted. This computer has no key for it. The recovery code opens it.")
WRONG_CODE = mark("The code is typed without a mistake, but it doesn't open “{name}”. It is another one's.")
NEEDS_PASSPHRASE = mark("“{name}” was encrypted with a passphrase. Ask the one who sent it.")
WRONG_PASSPHRASE = mark("This passphrase doesn't open “{name}”. Small and capital letters count.")


@dataclass(frozen=True, slots=True)
class Household:
    """A household's own key, its random name, and what its recovery code stands for."""

    home: bytes
    key: bytes = field(repr=False)
    code_key: bytes = field(repr=False)


@dataclass(frozen=True, slots=True)
class Means:
    """What may open an envelope: households' keys, keys of recovery codes, a passphrase."""

    households: tuple[Household, ...] = ()
    code_keys: tuple[bytes, ...] = field(default=(), repr=False)
    passphrase: str | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True)
class Header:
    """The beginning of an envelope, as it was written."""

    raw: bytes
    content: int
    size: int  # bytes of what was put in
    home: bytes
    salt: bytes
    wraps: tuple[tuple[bytes, bytes], ...]

    @property
    def head(self) -> bytes:
        """What stands before the wrapped keys."""
        return self.raw[:_FIXED]


@dataclass(frozen=True, slots=True)
class Opened:
    """An envelope whose key was found; `learnt` is a household's key that it brought along."""

    header: Header
    key: bytes = field(repr=False)
    learnt: Household | None = None


def seal(
    source: BinaryIO, size: int, by: Household | str, content: int = RECORD, random: bytes | None = None
) -> Iterator[bytes]:
    """Put a stream of so many bytes into an envelope for a household, or for who knows a passphrase.

    The envelope comes piece by piece, to be written one after the other. `random` is 64 bytes for a test,
    salt and data key. `Trouble` when the stream is shorter.
    """
    drawn = os.urandom(SALT + keys.SIZE) if random is None else random
    salt, key = drawn[:SALT], drawn[SALT:]
    header = _written(by, content, size, salt, key)
    yield header
    cipher = AESGCM(key)
    for number, length, is_last in _pieces(size):
        piece = source.read(length)
        if len(piece) != length:
            raise Trouble(say(CHANGED))
        yield cipher.encrypt(_nonce(number, is_last), piece, header)


def read_header(source: BinaryIO, name: str) -> Header:
    """The header of an envelope; `Refused` for one that is spoiled, cut, or of a newer version."""
    start = source.read(_START)
    if not start.startswith(MAGIC):
        raise Refused(say(SPOILED).format(name=name))
    length = int.from_bytes(start[-2:], "big")
    raw = start + source.read(max(length - _START, 0))
    if len(raw) < max(length, _START):
        raise Refused(say(CUT).format(name=name))
    if hashlib.sha256(raw[:-_DIGEST]).digest() != raw[-_DIGEST:]:
        raise Refused(say(SPOILED).format(name=name))
    if raw[len(MAGIC)] > VERSION or raw[len(MAGIC) + 1] > SUITE:
        raise Refused(say(NEWER).format(name=name))
    step, found = 1 + keys.WRAPPED, raw[_FIXED:-_DIGEST]
    wraps = tuple((found[at : at + 1], found[at + 1 : at + step]) for at in range(0, len(found), step))
    rest = raw[_START + 1 :]
    size, home, salt = int.from_bytes(rest[:_SIZE], "big"), rest[_SIZE:][:HOME], rest[_SIZE + HOME :][:SALT]
    return Header(raw, raw[_START], size, home, salt, wraps)


def open_header(source: BinaryIO, name: str, means: Means) -> Opened:
    """The header and the key that opens the rest; `Refused` says what else is needed."""
    header = read_header(source, name)
    found = dict(header.wraps)
    for each in means.households:
        key = _unwrapped(header, found, BY_HOUSEHOLD, each.key)
        if key is not None:
            return Opened(header, key)
    for code_key in (*means.code_keys, *(each.code_key for each in means.households)):
        key = _unwrapped(header, found, BY_CODE, code_key)
        if key is not None:
            own = _unwrapped(header, found, HOUSEHOLD_BY_CODE, code_key)
            return Opened(header, key, Household(header.home, own, code_key) if own is not None else None)
    if means.passphrase is not None and BY_PASSPHRASE in found:
        key = _unwrapped(header, found, BY_PASSPHRASE, keys.of_passphrase(means.passphrase, header.salt))
        if key is not None:
            return Opened(header, key)
    raise Refused(say(_why_not(header, found, means)).format(name=name))


def unseal(source: BinaryIO, name: str, opened: Opened) -> Iterator[bytes]:
    """What lies in an envelope, from behind its header on, piece by piece, each as it was put in.

    `Refused` at the first piece that isn't: what came before it is to be thrown away.
    """
    cipher, header = AESGCM(opened.key), opened.header
    for number, length, is_last in _pieces(header.size):
        sealed = source.read(length + TAG)
        if len(sealed) < length + TAG:
            raise Refused(say(CUT).format(name=name))
        piece = _piece(cipher, sealed, number, is_last, header.raw)
        if piece is None:
            raise Refused(say(_what_is_wrong(cipher, sealed, header)).format(name=name))
        yield piece
    if source.read(1):
        raise Refused(say(APPENDED).format(name=name))


def _pieces(size: int) -> Iterator[tuple[int, int, bool]]:
    """The number, the length and whether it is the last, of each piece of so many bytes; at least one."""
    last = max(size - 1, 0) // CHUNK
    for number in range(last + 1):
        yield number, CHUNK if number < last else size - last * CHUNK, number == last


def _written(by: Household | str, content: int, size: int, salt: bytes, key: bytes) -> bytes:
    """The header; all of it is associated data of every piece."""
    wrapping: list[tuple[bytes, bytes, bytes]]
    if isinstance(by, str):
        home, wrapping = bytes(HOME), [(BY_PASSPHRASE, key, keys.of_passphrase(by, salt))]
    else:
        home = by.home
        wrapping = [
            (BY_HOUSEHOLD, key, by.key),
            (BY_CODE, key, by.code_key),
            (HOUSEHOLD_BY_CODE, by.key, by.code_key),
        ]
    length = _FIXED + len(wrapping) * (1 + keys.WRAPPED) + _DIGEST
    head = MAGIC + bytes((VERSION, SUITE)) + length.to_bytes(2, "big")
    head += bytes((content,)) + size.to_bytes(_SIZE, "big") + home + salt + bytes((len(wrapping),))
    raw = head + b"".join(
        what + keys.wrap(wrapped, wrapper, salt, what, head) for what, wrapped, wrapper in wrapping
    )
    return raw + hashlib.sha256(raw).digest()


def _unwrapped(header: Header, found: dict[bytes, bytes], what: bytes, by: bytes) -> bytes | None:
    wrapped = found.get(what)
    return None if wrapped is None else keys.unwrap(wrapped, by, header.salt, what, header.head)


def _why_not(header: Header, found: dict[bytes, bytes], means: Means) -> str:
    if BY_PASSPHRASE in found:
        return NEEDS_PASSPHRASE if means.passphrase is None else WRONG_PASSPHRASE
    if means.code_keys:
        return WRONG_CODE
    is_ours = any(each.home == header.home for each in means.households)
    return FOREIGN if means.households and not is_ours else NEEDS_CODE


def _nonce(number: int, is_last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes((is_last,))


def _piece(cipher: AESGCM, sealed: bytes, number: int, is_last: bool, header: bytes) -> bytes | None:
    try:
        return cipher.decrypt(_nonce(number, is_last), sealed, header)
    except InvalidTag:
        return None


def _what_is_wrong(cipher: AESGCM, sealed: bytes, header: Header) -> str:
    """Why a piece isn't what stood in its place: it stood in another one, or was changed."""
    for number, length, is_last in islice(_pieces(header.size), _MOST_TRIED):
        if length + TAG == len(sealed) and _piece(cipher, sealed, number, is_last, header.raw) is not None:
            return MIXED
    return SPOILED
