"""What was looked at today, for the night: each part from today's entries, else “not looked at today”."""

from collections.abc import Iterator, Sequence
from math import floor

from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.kit import Kit
from carelog.analysis.machines import SUCTION_DEVICES, Device, Machine, machine_words
from carelog.analysis.supplies import Supply
from carelog.analysis.times import clock
from carelog.analysis.tube import is_decannulated
from carelog.domain.moment import Home, Instant
from carelog.domain.units import plain
from carelog.kinds.words import ITEM
from carelog.text import mark, say, say_n

CATHETER = "suction catheter {size} Fr"
_NOT_TODAY = mark("{what}: not looked at today")
_NOT_COUNTED = mark("{what}: not counted today")


def tonight(
    kit: Kit, machines: Sequence[tuple[Machine, Device]], reading: Reading, now: Instant
) -> list[str]:
    """The box, each machine and the suction catheters, by what was written down today."""
    found = [_machine(machine, device, kit.home, now) for machine, device in machines]
    if not any(device in SUCTION_DEVICES for (device, _), _ in machines):
        found.insert(0, say(_NOT_TODAY).format(what=machine_words((SUCTION_DEVICES[0], ""))))
    if is_decannulated(reading, now):
        return found
    return [_box(kit, now), *found, *_catheters(kit, reading, now)]


def is_of_today(held: Held | None, home: Home, now: Instant) -> bool:
    """Whether something was looked at on the home zone's day."""
    return held is not None and home.day(held.time) == home.day(now)


def _box(kit: Kit, now: Instant) -> str:
    check = kit.box.check
    name = say(mark("Box"))
    if check is None or not is_of_today(check, kit.home, now):
        return say(_NOT_TODAY).format(what=name)
    time = clock(kit.home, check.time)
    if kit.tube is not None and order_of(check) < order_of(kit.tube):
        return say(mark("{what} looked at {time}, before the tube was placed")).format(what=name, time=time)
    return say(mark("{what} looked at {time}, {found}")).format(what=name, time=time, found=_found(kit))


def _found(kit: Kit) -> str:
    box = kit.box
    parts = []
    for words, items in (
        (mark("missing: {items}"), box.missing),
        (mark("wrong size: {items}"), box.wrong_size),
        (mark("out of date: {items}"), box.expired),
        (mark("opened: {items}"), box.opened),
    ):
        if items:
            parts.append(say(words).format(items=", ".join(ITEM.words(item) for item in items)))
    return "; ".join(parts) or say(mark("nothing recorded as missing"))


def _machine(machine: Machine, device: Device, home: Home, now: Instant) -> str:
    what, check = machine_words(machine), device.check
    if check is None or not is_of_today(check, home, now):
        return say(_NOT_TODAY).format(what=what)
    found = ", ".join(_states(device, home, now))
    return say(mark("{what} looked at {time}, recorded: {found}")).format(
        what=what, time=clock(home, check.time), found=found
    )


def _states(device: Device, home: Home, now: Instant) -> Iterator[str]:
    assert device.check is not None
    yield say(mark("works")) if device.check.entry.details["works"] else say(mark("doesn't work"))
    if device.charge is not None and is_of_today(device.charge, home, now):
        is_charged = device.charge.entry.details["charged"] is True
        yield say(mark("charged")) if is_charged else say(mark("not charged"))
    if device.is_full and is_of_today(device.canister, home, now):
        yield say(mark("canister full"))


def _catheters(kit: Kit, reading: Reading, now: Instant) -> Iterator[str]:
    """The catheters of the plan's size; without one, of every size that was ever counted."""
    size = kit.catheter.prescribed
    wanted = None if size is None else CATHETER.format(size=plain(size))
    of_size = [each for each in kit.supplies if _is_catheter(each.item) and wanted in (None, each.item)]
    if not of_size:
        yield say(_NOT_COUNTED).format(what=say(mark("Suction catheters")))
    for each in of_size:
        counts = [
            held
            for held in reading.of("stock")
            if held.entry.details["item"] == each.item and "count" in held.entry.details
        ]
        is_today = bool(counts) and is_of_today(counts[-1], kit.home, now)
        yield _left(each) if is_today else say(_NOT_COUNTED).format(what=_capital(each.item))


def _is_catheter(item: str) -> bool:
    return item.startswith(CATHETER.split("{", maxsplit=1)[0])


def _left(supply: Supply) -> str:
    what = _capital(supply.item)
    if supply.days_left is None:
        return say(mark("{what}: {count} counted")).format(what=what, count=plain(supply.count or 0))
    days = max(floor(supply.days_left), 0)
    words = say_n("{what} for about one day", "{what} for about {days} days", days)
    return words.format(what=what, days=days)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
