"""Everything in one file: exchange file, a page, sheets, and a word on each; it comes back whole."""

import zipfile
from collections.abc import Callable, Iterable, Iterator
from typing import BinaryIO

from carelog.export import page
from carelog.export.extract import Extract
from carelog.export.unpacked import EXCHANGE
from carelog.text import mark, say

README = "README.txt"
ROW, PER_SHEET = 2, 50_000
"""How much work a row of the page and a sheet are, to one line of the exchange file."""
_STAMP = (1980, 1, 1, 0, 0, 0)
_TOLD = (
    mark("This is a care record of a person with a tracheostomy, as carelog keeps it."),
    mark("It is about {name}. It was written on {day}."),
    mark("It records what somebody wrote down. What isn't here was not recorded."),
    mark("It isn't encrypted. Anyone who has this file can read it."),
)
_FILES = {
    EXCHANGE: mark("the entries as they are; carelog import takes this archive, or this file, back in"),
    "record.html": mark("to be read in any browser"),
    "sheets/": mark("the newest weeks as they are printed, four at most"),
}


def archive(
    extract: Extract,
    lines: Iterable[bytes],
    sheets: Iterable[tuple[str, bytes]],
    out: BinaryIO,
    seen: Callable[[Iterable[bytes], float], Iterable[bytes]],
) -> None:
    """Write the archive; `lines` are the exchange file's, `sheets` PDFs by their names.

    Every piece goes through `seen` with how much work it is, which may stop it. Tables are a form of their
    own: they would take as long again, and hold nothing more.
    """
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        _put(file, README, [_readme(extract).encode()])
        _put(file, EXCHANGE, seen(lines, 1))
        _put(file, "record.html", _days(extract, seen))
        for name, pdf in sheets:
            _put(file, f"sheets/{name}", seen([pdf], PER_SHEET))


def _days(extract: Extract, seen: Callable[[Iterable[bytes], float], Iterable[bytes]]) -> Iterator[bytes]:
    """The page's days, each with as much work as it has rows."""
    for day in page.page(extract):
        yield from seen([day], ROW * max(1, day.count(page.ROW_BEGINS)))


def _readme(extract: Extract) -> str:
    day = extract.home.day(extract.made_at).isoformat()
    what, whose, *more = (say(words).format(name=extract.name, day=day) for words in _TOLD)
    told = "\n".join((what, whose, page.days(extract), *more))
    files = "\n".join(f"{name:14} {say(words)}" for name, words in _FILES.items())
    return f"{told}\n\n{files}\n"


def _put(file: zipfile.ZipFile, name: str, parts: Iterable[bytes]) -> None:
    """One file in the archive; it says no time, so that the same record makes the same archive."""
    about = zipfile.ZipInfo(name, _STAMP)
    about.compress_type = zipfile.ZIP_DEFLATED
    about.external_attr = 0o600 << 16
    with file.open(about, "w", force_zip64=True) as inside:
        for part in parts:
            inside.write(part)
