"""Suction and what came up: now and as usual, counted, with who rated it; the catheter and the vacuum."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from carelog.analysis.in_force import Held
from carelog.analysis.lately import between, tally
from carelog.analysis.learnt import learnt_band
from carelog.analysis.marks import who
from carelog.analysis.outside import mark_words
from carelog.analysis.recorded import recorded_days
from carelog.analysis.times import month_day
from carelog.domain.units import plain, with_unit
from carelog.kinds import named_or_unknown
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.suction import SUCTION
from carelog.sheet.material import Material
from carelog.sheet.standing import last, since, unknown
from carelog.text import mark, say, say_n

USUAL_DAYS = 14
FOUND = ("colour", "consistency", "amount", "blood")


def suction_now(found: Material) -> str:
    """The suctions of the sheet's day and the one before: how many on each, what was found, who rated it."""
    home, day = found.period.home, found.period.days[-1]
    before = date.fromordinal(max(day.toordinal() - 1, 1))
    start, middle, end = home.start_of(before), home.start_of(day), found.period.judged
    entries = [held for held in found.reading.held if start <= held.time < end]
    if not recorded_days(home, entries):
        return unknown()
    counts = [
        f"{month_day(each)} {len(between(found.reading, SUCTION.name, low, high))}"
        for each, low, high in ((before, start, middle), (day, middle, end))
    ]
    if not found.period.is_finished:
        counts[-1] += say(mark(" so far"))
    held = between(found.reading, SUCTION.name, start, end)
    head = say(mark("suctions {counts}")).format(counts=", ".join(counts))
    return "; ".join([head, *_ratings(held)])


def _ratings(held: Sequence[Held], has_raters: bool = True) -> Iterator[str]:
    counted = tally(SUCTION, held, FOUND)
    for name in FOUND:
        field = SUCTION.field(name)
        if not counted.found[name] or field is None:
            continue
        words = _counts(counted.found[name])
        if counted.unsaid[name] and has_raters:
            words += f", {unknown()} {counted.unsaid[name]}"
        yield f"{say(field.label or field.asked).lower()} {words}"
    if held and not any(counted.found.values()):
        yield say(mark("what came up: not recorded"))
    elif held and has_raters:
        by = ", ".join(f"{who(each)} {count}" for each, count in counted.by.most_common())
        yield say(mark("rated by {by}")).format(by=by)


def _counts(found: Counter[str]) -> str:
    return ", ".join(f"{words} {count}" for words, count in found.most_common())


def suction_usual(found: Material) -> str:
    """The 14 days before those: how many suctions a day were usual, what was found how often."""
    home, day = found.period.home, found.period.days[-1].toordinal() - 1
    first = date.fromordinal(max(day - USUAL_DAYS, 1))
    start, end = home.start_of(first), home.start_of(date.fromordinal(max(day, 2)))
    days = recorded_days(home, (h for h in found.reading.held if start <= h.time < end))
    if not days:
        return unknown()
    held = between(found.reading, SUCTION.name, start, end)
    parts = [
        say_n(
            "{count} in all on one recorded day from {start} to {end}",
            "{count} in all on {days} recorded days from {start} to {end}",
            len(days),
        ).format(
            count=len(held),
            days=len(days),
            start=month_day(first),
            end=month_day(date.fromordinal(max(day - 1, 1))),
        )
    ]
    band = learnt_band(found.review)
    if band is not None:
        low, high = band
        parts.append(say(mark("{low} to {high} on about two of three days")).format(low=low, high=high))
    return "; ".join([*parts, *_ratings(held, has_raters=False)])


def vacuum(found: Material) -> str:
    """The vacuum that was last recorded, of a suction or of a machine."""
    held = max(
        (h for kind in (SUCTION.name, EQUIPMENT_CHECK.name) if (h := last(found, kind, "vacuum"))),
        key=lambda each: each.time,
        default=None,
    )
    if held is None:
        return unknown()
    details = held.entry.details
    value = with_unit(details["vacuum"], details["vacuum_unit"])
    marks = mark_words(
        named_or_unknown(held.entry.kind),
        {name: details[name] for name in ("vacuum", "vacuum_unit")},
        tuple(each for each in found.review.judging.outside(held) if each.field == "vacuum"),
    )
    return ", ".join([value, *marks, since(found, held)])


def catheter(found: Material) -> str:
    """The suction catheter: the plan's size, and the one that was last used."""
    plan = found.review.plan_at(found.period.judged - 1)
    size = plan.details.get("catheter_fr") if plan else None
    if size is None:
        parts = [say(mark("size in the plan: not recorded"))]
    else:
        parts = [say(mark("{size}\N{NO-BREAK SPACE}Fr in the plan")).format(size=plain(size))]
    held = last(found, SUCTION.name, "catheter_fr")
    if held is not None:
        used = with_unit(held.entry.details["catheter_fr"], say("Fr"))
        parts.append(say(mark("last used {size}, {when}")).format(size=used, when=since(found, held)))
    return "; ".join(parts)
