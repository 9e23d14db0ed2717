"""The flags of a period: by level, since when, why, what was done about them, how they ended."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from carelog.analysis.marks import who
from carelog.analysis.times import near, short_day
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Instant
from carelog.sheet.blocks import Block, Heading, Item, Piece, Points, Sign, Words, words
from carelog.sheet.head import clock_day
from carelog.sheet.material import Material
from carelog.text import mark, say

LEVELS = {
    Level.URGENT: (mark("Emergency plan now"), Sign.URGENT),
    Level.CALL: (mark("Speak to the team today"), Sign.CALL),
    Level.NOTE: (mark("Look at this, for the next visit"), Sign.NOTE),
}
_NOTHING = mark("Nothing is flagged in what was recorded; last entry {time}.")
_NOTHING_AT_ALL = mark("Nothing was recorded, so nothing can be flagged.")


def flag_blocks(found: Material) -> Iterator[Block]:
    """The flags as at the period's end, and those raised later about it."""
    yield Heading(
        say(mark("Flags in this period")),
        say(mark("as shown at the time; a flag says what is outside what, no more")),
    )
    if not found.flagged.within:
        yield Points((Item(words(_none(found))),))
    yield from _by_level(found, found.flagged.within)
    if found.flagged.later:
        yield Heading(
            say(
                mark("Written later about this week")
                if len(found.period.days) > 1
                else mark("Written later about this day")
            )
        )
        yield from _by_level(found, found.flagged.later)


def _none(found: Material) -> str:
    times = [row.time for row in found.review.held]
    if not times:
        return say(_NOTHING_AT_ALL)
    return say(_NOTHING).format(time=clock_day(found, max(times)))


def _by_level(found: Material, flags: Sequence[Flag]) -> Iterator[Block]:
    for level in sorted(LEVELS, reverse=True):
        name, sign = LEVELS[level]
        same = [flag for flag in flags if flag.level is level]
        if not same:
            continue
        yield Points((Item(words(say(name), bold=True), sign),))
        yield Points(tuple(_items(found, same)), columns=2)


def _items(found: Material, flags: Sequence[Flag]) -> Iterator[Item]:
    ordered = sorted(flags, key=lambda flag: (flag.rule, flag.subject or "", flag.raised_at))
    groups = [list(same) for _, same in groupby(ordered, key=lambda flag: (flag.rule, flag.subject))]
    for same in sorted(groups, key=lambda each: each[0].raised_at):
        yield _item(found, same)


def _item(found: Material, same: Sequence[Flag]) -> Item:
    newest = same[-1]
    head: list[Piece] = [Piece(newest.headline, bold=True)]
    if len(same) > 1:
        times = say(mark("{count} times")).format(count=len(same))
        head.append(Piece(f" ({times})"))
    under: list[Words] = []
    for flag in same:
        under.append(words(f"{_span(found, flag)}: {flag.why}"))
        under += [words(line) for line in _done(found, flag)]
    return Item(tuple(head), Sign.NONE, tuple(under))


def _span(found: Material, flag: Flag) -> str:
    home = found.period.home
    since = f"{short_day(home.day(flag.raised_at))} {near(home, flag.raised_at, flag.raised_at)}"
    if flag.raised_at < found.period.start:
        since = clock_day(found, flag.raised_at)
    if flag.cleared_at is None:
        return say(mark("since {since}, still there at the end")).format(since=since)
    until = near(home, flag.cleared_at, flag.raised_at)
    ended = f" ({flag.ended})" if flag.ended else ""
    return say(mark("{since} to {until}{ended}")).format(since=since, until=until, ended=ended)


def _done(found: Material, flag: Flag) -> Iterator[str]:
    for each in flag.seen:
        held = found.reading.get(each)
        if held is None:
            continue
        details = held.entry.details
        told = say(mark(", told {whom}")).format(whom=details["told"]) if details.get("told") else ""
        note = f" “{held.entry.note.strip()}”" if held.entry.note.strip() else ""
        yield say(mark("Looked at {time} by {by}{told}{note}")).format(
            time=_when(found, held.time), by=who(held.first.by), told=told, note=note
        )
    if not flag.seen and flag.level is not Level.NOTE:
        yield say(mark("Nobody recorded looking at it or telling anyone."))


def _when(found: Material, instant: Instant) -> str:
    return clock_day(found, instant)
