"""What a nurse asks at the door, answered without asking: one line a question, the entries behind it."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from carelog.analysis.in_force import Held
from carelog.analysis.marks import who
from carelog.analysis.times import near, short_day
from carelog.analysis.titles import rule_title
from carelog.analysis.visit.figure import Half, VisitFigure, ids
from carelog.analysis.visit.hours import (
    exact_span,
    longest,
    touching,
    unwritten,
    unwritten_lines,
    worn_words,
)
from carelog.analysis.visit.questions import AskedQuestion, open_questions
from carelog.analysis.worn import WornTime, cuff_down, lengths, valve_on
from carelog.domain.moment import Instant
from carelog.domain.units import with_unit
from carelog.kinds.incident import INCIDENT
from carelog.kinds.observations import OBSERVATIONS
from carelog.kinds.seen import SEEN
from carelog.kinds.suction import SUCTION
from carelog.text import mark, say, say_n

TEMPERATURES = (("temperature_c", "°C"), ("temperature_f", "°F"))
RATED = tuple(dict.fromkeys(pick.field for pick in SUCTION.picks))
"""What is rated of a suction: the fields of its quick choices, as on the week's sheet."""
MOST_TOLD = 3
_LAST = mark("{value}, {time}, {who}")
_A_DAY = mark("{low} to {high} a day")
_ALL_DAYS = mark("{length} a day")
_OPEN = mark("on since {time}, no end recorded")
_DAY = mark("{day}: {words}")
_RATER = mark("{who} {count}")
_NEW = mark("{who} {count}, new here")
_LONGEST_BY_NIGHT = mark("longest by night {words}")
_LONGEST_BY_DAY = mark("longest by day {words}")
_NOW = mark("now {words}")
_WHOLE = mark(
    "Each stretch from one entry to the next is told whole, on the day on which it begins. It is by night "
    "where more than half of it lies in the quiet hours."
)
_TOLD = mark("{time}: {told} told, {what} ({who})")
_CALLED = mark("{time}: {called} called, {what} ({who})")
_NOBODY = mark("nobody recorded telling anyone")
_NEVER = mark("none recorded")
_NOTHING_ASKED = mark("no question without an answer")


@dataclass(frozen=True, slots=True)
class DoorLine:
    """One question of hers, and what the record answers; several figures open entries of their own."""

    name: str
    title: str
    figures: tuple[VisitFigure, ...]


def at_the_door(half: Half, questions: Sequence[AskedQuestion], now: Instant) -> tuple[DoorLine, ...]:
    """All of them, of a period; the last temperature is the newest there is."""
    reading = half.review.reading
    return (
        DoorLine("temperature", say(mark("Last temperature")), (_temperature(half, now),)),
        DoorLine("valve", say(mark("Valve or cap on")), (_worn(half, valve_on(reading)),)),
        DoorLine("cuff_down", say(mark("Cuff down")), (_worn(half, cuff_down(reading)),)),
        DoorLine("raters", say(mark("Who rated suction")), tuple(_raters(half))),
        DoorLine("unwritten", say(mark("Without an entry")), (_unwritten(half, now),)),
        DoorLine("told", say(mark("Who was told")), (_told(half),)),
        DoorLine("asks", say(mark("The household asks")), (_asks(questions),)),
    )


def _temperature(half: Half, now: Instant) -> VisitFigure:
    for held in reversed(half.review.reading.of(OBSERVATIONS.name)):
        for field, unit in TEMPERATURES:
            if field in held.entry.details and held.time <= now:
                value = with_unit(held.entry.details[field], unit)
                time = near(half.review.period.home, held.time, now)
                words = say(_LAST).format(value=value, time=time, who=who(held.first.by))
                outside = bool(half.review.judging.outside(held))
                return VisitFigure(words, ids([held]), (), outside)
    return VisitFigure(say(_NEVER))


def _worn(half: Half, found: Sequence[WornTime]) -> VisitFigure:
    """How long a day, of the days that are over; day by day behind it."""
    review = half.review
    here = touching(review, found)
    if not here:
        return VisitFigure(say(_NEVER))
    days = [short_day(day) for day in review.period.days]
    lines = tuple(
        say(_DAY).format(day=day, words=words)
        for day, words in zip(days, worn_words(review, here), strict=True)
    )
    begun = next((each.start for each in here if each.end is None), None)
    if begun is not None:
        time = near(review.period.home, begun, review.period.judged)
        return VisitFigure(say(_OPEN).format(time=time), (), lines, is_marked=True)
    ends = (*review.period.starts[1:], review.period.end)
    over = [number for number, end in enumerate(ends) if end <= review.period.judged]
    known = [number for number in over if number in review.recorded and number not in review.absent]
    totals = lengths(here, review.period.starts, review.period.end)
    found_lengths = [totals[number] for number in known] or totals
    low, high = exact_span(min(found_lengths)), exact_span(max(found_lengths))
    words = say(_ALL_DAYS).format(length=low) if low == high else say(_A_DAY).format(low=low, high=high)
    return VisitFigure(words, (), lines)


def _raters(half: Half) -> Iterator[VisitFigure]:
    """Who rated how many; marked who didn't in the three weeks before, where those hold ratings."""
    before = {who(held.first.by) for held in half.past.of(SUCTION.name) if _is_rated(held)}
    rated = [held for held in half.of(SUCTION.name) if _is_rated(held)]
    for name, count in Counter(who(held.first.by) for held in rated).most_common():
        is_new = bool(before) and name not in before
        words = say(_NEW if is_new else _RATER).format(who=name, count=count)
        yield VisitFigure(words, ids(held for held in rated if who(held.first.by) == name), (), is_new)
    if not rated:
        yield half.nothing()


def _is_rated(held: Held) -> bool:
    return any(name in held.entry.details for name in RATED)


def _unwritten(half: Half, now: Instant) -> VisitFigure:
    """The longest time without an entry by day and by night, whole; of days that go on the last one too."""
    review, home = half.review, half.review.period.home
    found = unwritten(review, now)
    if not found:
        return half.nothing()
    kept = longest(found)
    told = [
        say(words).format(words=kept[by_night].words(home))
        for by_night, words in ((True, _LONGEST_BY_NIGHT), (False, _LONGEST_BY_DAY))
        if by_night in kept
    ]
    if found[-1].is_cut and found[-1].goes_on and found[-1] not in kept.values():
        told.append(say(_NOW).format(words=found[-1].words(home)))
    lines = tuple(
        say(_DAY).format(day=short_day(day), words=words)
        for day, words in zip(review.period.days, unwritten_lines(review, now), strict=True)
    )
    return VisitFigure("; ".join(told), (), (say(_WHOLE), *lines))


def _told(half: Half) -> VisitFigure:
    """What was told to whom, the newest first."""
    home = half.review.period.home
    told = [held for held in half.of(SEEN.name) if held.entry.details.get("told")]
    called = [
        held for held in half.of(INCIDENT.name) if held.entry.details.get("called", "nobody") != "nobody"
    ]
    found = sorted([*told, *called], key=lambda held: held.time, reverse=True)
    if not found:
        return VisitFigure(say(_NOBODY))
    lines = []
    for held in found:
        details, time = held.entry.details, near(home, held.time, half.review.period.judged)
        given = {"time": time, "who": who(held.first.by)}
        if held.entry.kind == SEEN.name:
            what = rule_title(details["rule"])
            lines.append(say(_TOLD).format(told=details["told"], what=what, **given))
        else:
            field = INCIDENT.field("called")
            assert field is not None
            words = field.type.words(details["called"])
            lines.append(say(_CALLED).format(called=words, what=INCIDENT.parts(details)[0], **given))
    more = len(lines) - MOST_TOLD
    shown = "; ".join(lines[:MOST_TOLD])
    if more > 0:
        shown += say_n("; and one more", "; and {count} more", more).format(count=more)
    return VisitFigure(shown, ids(found))


def _asks(questions: Sequence[AskedQuestion]) -> VisitFigure:
    found = open_questions(questions)
    if not found:
        return VisitFigure(say(_NOTHING_ASKED))
    words = say_n("one question", "{count} questions", len(found)).format(count=len(found))
    return VisitFigure(words, ids(each.held for each in found), (), is_marked=True)
