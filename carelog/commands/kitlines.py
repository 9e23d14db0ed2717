"""The kit in lines for people: what is missing, out of date or low first; then the unknown; then the rest."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from math import floor

from carelog.analysis.box import Box
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.kit import Catheter, Kit
from carelog.analysis.supplies import Supply
from carelog.analysis.times import dated, full_day
from carelog.domain.moment import Instant
from carelog.domain.units import exact, plain
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.words import ITEM
from carelog.text import mark, say

_TUBE = ("id_mm", "od_mm", "length_mm", "cuff", "fenestrated", "inner_tube", "inner_id_mm", "size_mark")

_MISSING = mark("missing")
_WRONG_SIZE = mark("wrong size")
_EXPIRED = mark("expired")
_OPENED = mark("opened")
_DUE = mark("due")
_LATE = mark("overdue")
_LOW = mark("low")
_NOT_CHECKED = mark("not checked")
_EXPIRING = mark("expiring")
_NOT_KNOWN = mark("not known")
_RECORDED = mark("recorded")
_ORDER = (
    _MISSING,
    _WRONG_SIZE,
    _EXPIRED,
    _OPENED,
    _NOT_CHECKED,
    _LATE,
    _DUE,
    _LOW,
    _EXPIRING,
    _NOT_KNOWN,
    _RECORDED,
)

Line = tuple[str, str]
"""A state, and what is in it."""


def lines(kit: Kit, now: Instant) -> list[str]:
    """The kit at `now`, one line a matter: its state, and in one column what it is about."""
    found = [*_box(kit), *_tube(kit, now), *_catheter(kit.catheter), *_supplies(kit.supplies, kit, now)]
    found.sort(key=lambda line: _ORDER.index(line[0]))
    width = max(len(say(state)) for state, _ in found)
    return [f"{say(state):{width}}  {text}" for state, text in found]


def _box(kit: Kit) -> Iterator[Line]:
    box = kit.box
    if box.check is None:
        yield _NOT_KNOWN, say(mark("Spare-tube box: no check is recorded."))
        return
    time = dated(kit.home, box.check.time)
    if kit.tube is not None and order_of(box.check) < order_of(kit.tube):
        yield (
            _NOT_CHECKED,
            say(
                mark("Spare-tube box: no check since the tube in place was placed; the last one {time}.")
            ).format(time=time),
        )
    else:
        none = say(mark("; nothing recorded as missing, opened, out of date or of wrong size"))
        words = say(mark("Spare-tube box: last check {time}{rest}."))
        yield _RECORDED, words.format(time=time, rest=none if box.complete else "")
    yield from _items(box)


def _items(box: Box) -> Iterator[Line]:
    for state, items in (
        (_MISSING, box.missing),
        (_WRONG_SIZE, box.wrong_size),
        (_EXPIRED, box.expired),
        (_OPENED, box.opened),
        (_EXPIRING, box.expiring),
    ):
        if items:
            names = ", ".join(ITEM.words(item) for item in items)
            yield state, say(mark("Spare-tube box: {items}.")).format(items=names)


def _tube(kit: Kit, now: Instant) -> Iterator[Line]:
    if kit.tube is None:
        yield _NOT_KNOWN, say(mark("Tube in place: none is recorded."))
        return
    details = kit.tube.entry.details
    yield _RECORDED, _tube_words(kit, kit.tube)
    if "next_due" not in details:
        yield _NOT_KNOWN, say(mark("Tube change: no date is recorded."))
        return
    day, today = date.fromisoformat(details["next_due"]), kit.home.day(now)
    state = _LATE if day < today else _DUE if day == today else _RECORDED
    yield state, say(mark("Tube change: {date}.")).format(date=full_day(day))


def _tube_words(kit: Kit, tube: Held) -> str:
    details = tube.entry.details
    what = TUBE_CHANGE.line({name: details[name] for name in _TUBE if name in details})
    words = say(mark("Tube in place: {tube}; placed {date}, days since then: {days}."))
    return words.format(tube=what, date=full_day(kit.home.day(tube.time)), days=kit.age_days)


def _catheter(size: Catheter) -> Iterator[Line]:
    if size.prescribed is None:
        yield _NOT_KNOWN, say(mark("Suction catheter: the plan gives no size."))
    else:
        text = say(mark("Suction catheter: {size}\N{NO-BREAK SPACE}Fr in the plan."))
        yield _RECORDED, text.format(size=plain(size.prescribed))
    if size.suggested is None:
        yield _NOT_KNOWN, say(mark("Suction catheter by the tube's size: not worked out."))
        return
    is_larger = size.prescribed is not None and exact(size.prescribed) > size.suggested
    text = say(mark("Suction catheter by the tube's size: {size}\N{NO-BREAK SPACE}Fr."))
    remark = say(mark("The plan's is larger.")) if is_larger else ""
    yield _RECORDED, f"{text.format(size=size.suggested)} {remark}".rstrip()


def _supplies(supplies: Sequence[Supply], kit: Kit, now: Instant) -> Iterator[Line]:
    if not supplies:
        yield _NOT_KNOWN, say(mark("Supplies: nothing is counted."))
    today = kit.home.day(now)
    for each in supplies:
        if each.count is None:
            yield _NOT_KNOWN, say(mark("{item}: never counted.")).format(item=each.item)
            continue
        words = say(mark("{item}: {count} left")).format(item=each.item, count=plain(each.count))
        yield _state(each, today), f"{words}; {_lasting(each, today)}."


def _state(supply: Supply, today: date) -> str:
    is_out = supply.count is not None and supply.count <= 0
    is_low = supply.order_by is not None and supply.order_by <= today
    return _LOW if is_out or is_low else _RECORDED


def _lasting(supply: Supply, today: date) -> str:
    if supply.days_left is None:
        return say(mark("no use recorded, so days left are not known"))
    days = max(floor(supply.days_left), 0)
    parts = [say(mark("days left by the use recorded: {days}")).format(days=days)]
    if supply.order_by is not None and abs(supply.order_by - today) < timedelta(days=3660):
        parts.append(say(mark("order by {date}")).format(date=full_day(supply.order_by)))
    return ", ".join(parts)
