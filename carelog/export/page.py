"""The entries of a period as one accessible page, for any browser, with nothing from outside."""

import re
from collections.abc import Iterator
from html import escape
from itertools import groupby

from carelog.analysis.in_force import Held, Withdrawn
from carelog.analysis.marks import row_marks, who, withdrawn_marks
from carelog.analysis.times import clock, dated, full_day, month_day
from carelog.analysis.titles import with_titles
from carelog.domain.entry import Entry
from carelog.export.extract import Extract
from carelog.kinds import named_or_unknown
from carelog.kinds.person import PERSON
from carelog.text import mark, say

_STYLE = """
body{font:16px/1.5 "Noto Sans",system-ui,sans-serif;color:#000;background:#fff}
body{max-width:68em;margin:0 auto;padding:1em}
h1{font-size:1.6em;margin:.2em 0}h2{font-size:1.15em;margin:1.6em 0 .3em}
.banner{border:2px solid #000;padding:.3em .6em;font-weight:600}
table{border-collapse:collapse;width:100%}
th,td{border:1px solid #555;padding:.2em .4em;text-align:left;vertical-align:top}
td.time{white-space:nowrap}caption{text-align:left;font-weight:600}
""".strip()
ROW_BEGINS = b"<tr>"
_HEADS = (mark("Time"), mark("What"), mark("Details"), mark("By"), mark("Remarks"))
_RECORDS = mark("A record and a reminder. No monitor, no alarm.")
_INVENTED = mark("A made-up home. No one lives here.")
_MEANS = mark("What isn't here was not recorded. That is never the same as not done.")
_NO_CHARACTERS = "".join(chr(plane << 16 | last) for plane in range(17) for last in (0xFFFE, 0xFFFF))
_HIDDEN = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\uf8ff\ufeff"
    f"\U000e0000-\U0010ffff{_NO_CHARACTERS}]"
)
"""What commands a reader or hides: controls, directions, halves, private characters and what is none."""

Shown = Held | Withdrawn


def page(extract: Extract) -> Iterator[bytes]:
    """The page in pieces, a day at a time."""
    title = say(mark("Care record · {name}")).format(name=extract.name)
    yield _head(extract, title).encode()
    rows: list[Shown] = [*extract.reading.held, *extract.reading.withdrawn]
    rows.sort(key=lambda each: (each.time, each.first.id))
    if not rows:
        yield f"<p>{_text(say(mark('Nothing recorded.')))}</p>".encode()
    for _day, same in groupby(rows, key=lambda each: extract.home.day(each.time)):
        yield _day_table(extract, list(same)).encode()
    yield f"</main>\n<footer><p>{_text(say(_RECORDS))}</p></footer>\n</body>\n</html>\n".encode()


def _head(extract: Extract, title: str) -> str:
    language = escape(say(mark("en")), quote=True)
    banner = ""
    if any(each.entry.details.get("invented") is True for each in extract.reading.of(PERSON.name)):
        banner = f'<p class="banner">{_text(say(_INVENTED))}</p>'
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_text(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"<header><h1>{_text(title)}</h1>\n<p>{_text(_period(extract))}</p>{banner}</header>\n<main>\n"
        f"<p>{_text(say(_MEANS))}</p>\n"
    )


def _period(extract: Extract) -> str:
    made = say(mark("Written {time}.")).format(time=dated(extract.home, extract.made_at))
    return f"{days(extract)} {made}"


def days(extract: Extract) -> str:
    """Which days are given, in a sentence."""
    home = extract.home
    if extract.since is None and extract.until is None:
        return say(mark("Everything in the record."))
    since = dated(home, extract.since) if extract.since is not None else say(mark("the first entry"))
    until = dated(home, extract.until) if extract.until is not None else say(mark("the last entry"))
    return say(mark("From {since} to {until}.")).format(since=since, until=until)


def _day_table(extract: Extract, rows: list[Shown]) -> str:
    day = extract.home.day(rows[0].time)
    name = f"{month_day(day)}, {full_day(day)}"
    heads = "".join(f'<th scope="col">{_text(say(head))}</th>' for head in _HEADS)
    body = "".join(_row(extract, each) for each in rows)
    return (
        f'<h2>{_text(name)}</h2>\n<div role="region" tabindex="0" aria-label="{escape(name, quote=True)}">'
        f"<table><thead><tr>{heads}</tr></thead>\n<tbody>{body}</tbody></table></div>\n"
    )


def _row(extract: Extract, shown: Shown) -> str:
    home, entry = extract.home, shown.entry
    is_struck = isinstance(shown, Withdrawn)
    signed = extract.signed
    marks = (
        withdrawn_marks(shown, home, signed)
        if isinstance(shown, Withdrawn)
        else row_marks(shown, home, signed=signed)
    )
    told = [_text(words) for words in (clock(home, shown.time), say(named_or_unknown(entry.kind).title))]
    told.append(_text(_details(entry)))
    time, title, details = (f"<s>{words}</s>" if is_struck and words else words for words in told)
    return (
        f'{ROW_BEGINS.decode()}<td class="time">{time}</td><th scope="row">{title}</th><td>{details}</td>'
        f"<td>{_text(who(shown.first.by))}</td><td>{_text('; '.join(marks))}</td></tr>\n"
    )


def _details(entry: Entry) -> str:
    kind = named_or_unknown(entry.kind)
    line = kind.line(with_titles(kind.name, entry.details))
    return f"{line} “{entry.note.strip()}”".strip() if entry.note.strip() else line


def _text(text: str) -> str:
    """Any text as text of a page; characters that command a reader or hide stand as their numbers."""
    plain = text if text.isascii() and text.isprintable() else _HIDDEN.sub(_numbered, text)
    return escape(plain).replace("\n", "<br>")


def _numbered(found: "re.Match[str]") -> str:
    return f"[U+{ord(found[0]):04X}]"
