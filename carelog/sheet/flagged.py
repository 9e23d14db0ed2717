"""The flags of a period: by level, since when, why, what was done about them, how they ended."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from carelog.analysis.flags.once import said_once
from carelog.analysis.flags.silence import Sorted, by_silence
from carelog.analysis.flags.slip import without_slips
from carelog.analysis.rules.rule import EMERGENCY
from carelog.analysis.times import clock, month_day, near, short_day
from carelog.analysis.visit.flagged import done_words
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import Instant
from carelog.sheet.blocks import Heading, Item, Piece, Points, Shape, Words, words
from carelog.sheet.head import clock_day
from carelog.sheet.material import Material
from carelog.text import mark, say

_SIGN = {Level.URGENT: Shape.URGENT, Level.CALL: Shape.CALL, Level.NOTE: Shape.NOTE}
_FOR_THE_VISIT = mark("Look at this, for the next visit")
_NOTHING = mark("Nothing is flagged in what was recorded; last entry {time}.")
_FIRST = mark("Look at this first")
_SINCE = mark("Overdue since then, or done and not written down:")
_UNUSUAL = mark("Unlike the usual since {since}, still there:")
_NOBODY = mark("– nobody recorded telling anyone")
_NOBODY_ELSE = mark("– no one wrote down who was told, but where it says so")
MOST_UNTOLD = 2  # flags of which it is said one by one, where somebody was told of others
LONG_SENTENCE = 30  # characters
NO_BREAK = "\u00a0"
_SIGNS = ("*", "†", "‡", "§")
MOST_APART = 3  # flags of one rule that are told one by one
MOST_TIMES = 12  # of them, whose times are
Key = tuple[str, str | None]
_SENTENCE_END = re.compile(r"(?<=[.!?])\s+(?=\S)")
_NOTHING_AT_ALL = mark("Nothing was recorded, so nothing can be flagged.")


def flag_blocks(found: Material) -> Iterator[Heading | Points]:
    """The flags as at the period's end, and those raised later about it."""
    yield Heading(say(mark("Flags")), say(mark("what lay outside what, as shown at the time")))
    within = _told(found, found.flagged.within)
    if not within:
        yield Points((Item(words(_none(found))),))
    yield from _by_level(found, within)
    later = _told(found, found.flagged.later)
    if later:
        yield Heading(
            say(
                mark("Written later about this week")
                if len(found.period.days) > 1
                else mark("Written later about this day")
            )
        )
        yield from _by_level(found, later)


def _told(found: Material, flags: Sequence[Flag]) -> list[Flag]:
    """The flags that are told: a week leaves out what a typing error raised and the day's sheet has."""
    return without_slips(flags, found.reading) if len(found.period.days) > 1 else list(flags)


def alert(found: Material) -> str:
    """What every page says while something urgent is still there at the end of its days; else nothing."""
    urgent = [f for f in found.flagged.within if f.level is Level.URGENT and f.cleared_at is None]
    headlines = " ".join(_stopped(flag.headline) for flag in urgent)
    return f"{Level.URGENT.asks}: {headlines}" if urgent else ""


def _none(found: Material) -> str:
    times = [row.time for row in found.review.held]
    if not times:
        return say(_NOTHING_AT_ALL)
    return say(_NOTHING).format(time=clock_day(found, max(times)))


def _by_level(found: Material, flags: Sequence[Flag]) -> Iterator[Points]:
    flags = sorted(said_once(flags), key=lambda flag: (flag.raised_at, flag.rule, flag.subject or ""))
    found_so = by_silence(flags, found.review.last_known)
    for level in sorted(Level, reverse=True):
        if level is Level.CALL and found_so.silence is not None:
            yield _silence(found_so.silence, found_so)
        asks = say(_FOR_THE_VISIT) if level is Level.NOTE else level.asks
        same = [flag for flag in found_so.others if flag.level is level]
        if not same:
            continue
        nobody = [flag for flag in same if level is not Level.NOTE and not (flag.seen or flag.called)]
        untold = len(nobody) > MOST_UNTOLD or len(nobody) == len(same)
        beside = f" {say(_NOBODY if len(nobody) == len(same) else _NOBODY_ELSE)}" if untold else ""
        yield Points((Item((*words(asks, bold=True), *words(beside)), _SIGN[level]),))
        often = _often_raised(found, same)
        told = [flag for flag in same if flag.cleared_at is None or len(found.period.days) == 1]
        shared = shared_sentences([flag.reasons for flag in told if _key(flag) not in often])
        yield Points(tuple(_items(found, same, untold, shared, often)))
        signs = {
            sign: [each for each in shared if shared[each] == sign] for sign in dict.fromkeys(shared.values())
        }
        below = "  ".join(f"{sign} {' '.join(those)}" for sign, those in signs.items())
        if below:
            yield Points((Item(words(below)),))


def silent_since(found: Material) -> Instant | None:
    """When the last entry became known, where the flag that nothing was recorded stands; else None."""
    last = found.review.last_known
    return last if by_silence(found.flagged.within, last).silence is not None else None


def _silence(silence: Flag, found: Sorted) -> Points:
    """That nothing was recorded, before all that can wait; under it in short what got overdue since."""
    under = [words(say(_SINCE))] if found.since else []
    for level in sorted(Level, reverse=True):
        headlines = [_stopped(flag.headline) for flag in found.since if flag.level is level]
        if headlines:
            under.append((Piece(f"{level.asks}: "), Piece(" ".join(headlines))))
    head = Item(words(say(_FIRST), bold=True), _SIGN[Level.NOTE])
    return Points((head, Item(words(_stopped(silence.headline), bold=True), under=tuple(under))))


def shared_sentences(texts: Sequence[str]) -> dict[str, str]:
    """Sentences that several texts hold, each with its sign; those that always go together share one."""
    places: dict[str, list[int]] = {}
    for number, text in enumerate(texts):
        for sentence in dict.fromkeys(sentences(text)):
            places.setdefault(sentence, []).append(number)
    kept = say(EMERGENCY)  # stands where it is read, however often
    often = {
        sentence: tuple(found)
        for sentence, found in places.items()
        if len(found) > 1 and len(sentence) >= LONG_SENTENCE and sentence != kept
    }
    signs = dict(zip(dict.fromkeys(often.values()), _SIGNS, strict=False))
    return {sentence: signs[found] for sentence, found in often.items() if found in signs}


def sentences(text: str) -> list[str]:
    """The sentences of a text."""
    return [part for part in _SENTENCE_END.split(text) if part]


def _key(flag: Flag) -> Key:
    return flag.rule, flag.subject


def _often_raised(found: Material, flags: Sequence[Flag]) -> set[Key]:
    """What came again and again; in large print also twice, where nothing but the time was different."""
    counts = Counter(map(_key, flags))
    often = {key for key, count in counts.items() if count > MOST_APART}
    if found.request.large:
        often |= {key for key in counts if counts[key] > 1 and _differ_in_time(found, flags, key)}
    return often


def _differ_in_time(found: Material, flags: Sequence[Flag], key: Key) -> bool:
    """Whether all flags of a rule have ended and say the same but for when."""
    home, same = found.period.home, [flag for flag in flags if _key(flag) == key]
    texts = {
        flag.headline.replace(clock(home, flag.raised_at), "").replace(
            f"{short_day(home.day(flag.raised_at))} ", ""
        )
        for flag in same
    }
    return len(texts) == 1 and all(flag.cleared_at is not None for flag in same)


def _items(
    found: Material, flags: Sequence[Flag], untold: bool, shared: Mapping[str, str], often: set[Key]
) -> list[Item]:
    """What touches the body and is still there first, lateness last; what came again and again as one."""
    together: dict[Key, list[Flag]] = {}
    items: list[tuple[tuple[int, int, bool], Instant, Item]] = []
    unusual = [flag for flag in flags if _is_unusual_still(flag) and _key(flag) not in often]
    if len(unusual) > 1:
        items.append((unusual[0].place, unusual[0].raised_at, _unusual(found, unusual, untold, shared)))
        flags = [flag for flag in flags if flag not in unusual]
    for flag in flags:
        if _key(flag) in often:
            together.setdefault(_key(flag), []).append(flag)
        else:
            item = _item(found, flag, untold, shared)
            items.append((flag.place, flag.raised_at, item))
    for same in together.values():
        items.append((min(flag.place for flag in same), same[-1].raised_at, _often(found, same, untold)))
    return [item for *_, item in sorted(items, key=lambda each: each[:2])]


def _is_unusual_still(flag: Flag) -> bool:
    return flag.cleared_at is None and flag.by_statistics


def _unusual(found: Material, flags: Sequence[Flag], untold: bool, shared: Mapping[str, str]) -> Item:
    """What is unlike the usual in several ways at once is one point, each way with its own time."""
    under: list[Words] = []
    for flag in flags:
        headline = Piece(f"{_stopped(flag.headline)} ", bold=True)
        under.append((headline, Piece(_then(f"{_began(found, flag)}.", _why(flag, shared)))))
        under += [words(line) for line in _done(found, flag, untold)]
    head = say(_UNUSUAL).format(since=_began(found, flags[0]))
    return Item(words(head, bold=True), under=tuple(under))


def _why(flag: Flag, shared: Mapping[str, str]) -> str:
    """Why a flag is there, shared sentences as their signs."""
    parts = sentences(flag.reasons)
    signs = "".join(dict.fromkeys(shared[each] for each in parts if each in shared))
    own = " ".join([each for each in parts if each not in shared])
    return f"{own}{NO_BREAK}{signs}" if own and signs else own or signs


def _then(span: str, why: str) -> str:
    """The span and why, which may be signs alone: those never stand alone on a line."""
    return f"{span}{NO_BREAK if why[:1] in _SIGNS else ' '}{why}".rstrip()


def _item(found: Material, flag: Flag, untold: bool, shared: Mapping[str, str]) -> Item:
    is_short = flag.cleared_at is not None and len(found.period.days) > 1
    why = "" if is_short else _why(flag, shared)  # of what has ended, the day's sheet says why
    text = _then(f"{_span(found, flag)}.", why)
    head = Piece(f"{_stopped(flag.headline)} ", bold=True)
    return Item((head, Piece(text)), under=tuple(words(line) for line in _done(found, flag, untold)))


def _stopped(headline: str) -> str:
    """A headline with a full stop, since words follow it on the line."""
    return headline if headline.endswith((".", "!", "?")) else f"{headline}."


def _often(found: Material, same: Sequence[Flag], untold: bool) -> Item:
    count = say(mark("{count} times, the last: ")).format(count=len(same))
    few = len(same) <= MOST_TIMES
    spans = "; ".join(_span(found, flag, has_day=True) for flag in same) if few else _by_day(found, same)
    done = [words(line) for flag in same for line in _done(found, flag, untold or not flag.seen)]
    return Item(
        (Piece(count), Piece(f"{_stopped(same[-1].headline)} ", bold=True), Piece(f"{spans}.")),
        under=tuple(done),
    )


def _by_day(found: Material, same: Sequence[Flag]) -> str:
    """How often on each day, where single times would fill a page; and the newest with its time."""
    days = Counter(found.period.home.day(flag.raised_at) for flag in same)
    counts = ", ".join(f"{month_day(day)} {count}" for day, count in sorted(days.items()))
    return f"{counts}; {_span(found, same[-1])}"


def _span(found: Material, flag: Flag, *, has_day: bool = False) -> str:
    """From when to when; the headline of an ended flag may have said the day already, unless `has_day`."""
    home, since = found.period.home, _began(found, flag)
    if (
        not has_day
        and flag.cleared_at is not None
        and f"{short_day(home.day(flag.raised_at))} " in flag.headline
    ):
        since = clock(home, flag.raised_at)
    if flag.cleared_at is None:
        return say(mark("Still there, since {since}")).format(since=since)
    until = near(home, flag.cleared_at, flag.raised_at)
    ended = f" ({flag.ended})" if flag.ended else ""
    return say(mark("{since} to {until}{ended}")).format(since=since, until=until, ended=ended)


def _began(found: Material, flag: Flag) -> str:
    """Since when, with the month where that was before these days."""
    home = found.period.home
    if flag.raised_at < found.period.start:
        return clock_day(found, flag.raised_at)
    return f"{short_day(home.day(flag.raised_at))} {clock(home, flag.raised_at)}"


def _done(found: Material, flag: Flag, untold: bool) -> Iterator[str]:
    return done_words(flag, found.reading.get, lambda time: clock_day(found, time), is_untold_said=untold)
