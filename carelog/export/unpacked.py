"""An exchange file as it was given: by itself, or in an archive."""

import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BufferedReader
from pathlib import PurePosixPath
from typing import BinaryIO, cast

from carelog.domain.trouble import Refused
from carelog.text import say

EXCHANGE = "record.jsonl"
MOST_BYTES = 4 * 1024**3
"""A file that unpacks to more was made to fill a disk."""
_START = b"PK\x03\x04"
_IS_LOCKED = 1


@contextmanager
def exchange_file(file: BufferedReader) -> Iterator[BinaryIO]:
    """A file that was given to be read: as it is, or the exchange file in it where it is an archive.

    `Refused` with a sentence where there is none in it, or it is damaged.
    """
    if file.peek(len(_START))[: len(_START)] != _START:
        yield file
        return
    if not file.seekable():
        raise Refused(say("An archive can't be read from a pipe. Name the file itself."))
    try:
        with zipfile.ZipFile(file) as found, found.open(_inside(found)) as stream:
            yield cast(BinaryIO, stream)
    except (zipfile.BadZipFile, zlib.error, EOFError):
        raise Refused(say("The archive is damaged. Nothing was added.")) from None


def _inside(found: zipfile.ZipFile) -> zipfile.ZipInfo:
    """The exchange file, also where somebody unpacked an archive and packed the folder again."""
    names = [each for each in found.infolist() if PurePosixPath(each.filename).parts[-1:] == (EXCHANGE,)]
    if len(names) != 1:
        sentence = say("The archive must hold one {file}, and holds {count}. Nothing was added.")
        raise Refused(sentence.format(file=EXCHANGE, count=len(names)))
    (inside,) = names
    if inside.flag_bits & _IS_LOCKED:
        raise Refused(
            say("The archive is locked with a password. Unpack it and take {file} in.").format(file=EXCHANGE)
        )
    if inside.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise Refused(
            say("The archive was packed in another way. Unpack it and take {file} in.").format(file=EXCHANGE)
        )
    if inside.file_size > MOST_BYTES:
        raise Refused(say("The archive holds more than any record. Nothing was added."))
    return inside
