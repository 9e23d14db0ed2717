"""Going out: what to take along by the box, the machines and the household's own lines; hours and battery.

What to take: SickKids family pages and St George's emergency equipment (FOUND); the rest is common practice,
no source. What nobody looked at is said so; nothing here counts as packed before somebody says it.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from carelog.analysis.battery import Lasting, lasting, minute_words, runs
from carelog.analysis.boxlook import items_of
from carelog.analysis.in_force import Held, Reading, order_of
from carelog.analysis.kit import Kit
from carelog.analysis.machines import SUCTION_DEVICES, Device, Machine, machine_words
from carelog.analysis.spread import Use, chance, ratio_of, use_of
from carelog.analysis.supplies import WINDOW_DAYS, newest_days
from carelog.analysis.times import near
from carelog.analysis.tube import is_decannulated
from carelog.domain.moment import DAY_24_H, MINUTE, Home, Instant
from carelog.domain.units import exact, plain
from carelog.kinds.checklist import CHECKLIST
from carelog.kinds.outing import OUTING
from carelog.kinds.suction import SUCTION
from carelog.kinds.words import ITEM
from carelog.text import mark, say, say_n

BY_THEMSELVES = ("portable_suction", "catheters", "gel", "contacts")
"""Items that have a tile of their own; all others go with the box."""
AWAKE_HOURS = 16
"""All of a day's suction is reckoned into so many hours (our own choice, on the careful side)."""
SURELY = 0.99
MOST_CATHETERS = 200
HME_LINE = mark("HME to change")
PLAN_LINE = mark("copy of the care plan")


@dataclass(frozen=True, slots=True)
class Take:
    """One thing to take along: what packing it records, what it is called, what is known of it."""

    keys: tuple[str, ...]
    words: str
    told: str = ""


@dataclass(frozen=True, slots=True)
class GoingOut:
    """What is taken along, and what is known for the hours away."""

    now: Instant
    home: Home
    out: Held | None
    """The leaving after which nobody is back yet."""
    back: Held | None
    """When they came back last: what was packed before it is unpacked."""
    takes: tuple[Take, ...]
    lists: dict[str, tuple[str, ...]]
    """The household's own lines, by the names of the lists."""
    passes: Use | None
    """Catheters used a day, where the record tells it."""
    machine: str
    """The suction machine that ran longest on its battery; empty where none did."""
    runs: Lasting | None

    def catheters(self, hours: Fraction) -> tuple[int, int] | None:
        """How many are used in so many hours as usual, and how many are enough in 99 of 100."""
        if self.passes is None:
            return None
        days = float(hours / AWAKE_HOURS)
        enough = next(n for n in range(MOST_CATHETERS + 1) if self._is_enough(n, days) or n == MOST_CATHETERS)
        usual = self.passes.per_day * hours / AWAKE_HOURS
        return min(round(usual), enough), enough

    def _is_enough(self, count: int, days: float) -> bool:
        return self.passes is not None and chance(self.passes, Fraction(count), days) >= SURELY


def going_out(reading: Reading, found: Kit, here: Sequence[tuple[Machine, Device]], now: Instant) -> GoingOut:
    """What is taken along, by the entries read, the kit and the machines that are here."""
    outings = reading.of(OUTING.name)
    is_out = bool(outings) and outings[-1].entry.details["action"] == "leaving"
    lists = {
        held.entry.details["list"]: tuple(held.entry.details["items"]) for held in reading.of(CHECKLIST.name)
    }
    suction = [each for each in here if each[0][0] in SUCTION_DEVICES]
    best = max(
        (
            (lasts.cautious, machine, lasts)
            for machine, device in suction
            if (lasts := lasting(runs(device.runs), now))
        ),
        default=None,
        key=lambda each: each[0],
    )
    takes = [Take((line,), line) for line in lists.get("going_out", ())]
    if not is_decannulated(reading, now):
        takes = [*_takes(reading, found, suction, now), *takes]
    else:
        takes = [Take(("contacts",), say(mark("contacts card"))), *takes]
    return GoingOut(
        now=now,
        home=reading.home,
        out=outings[-1] if is_out else None,
        back=next((held for held in reversed(outings) if held.entry.details["action"] == "back"), None),
        takes=tuple(takes),
        lists=lists,
        passes=_passes(reading, now),
        machine=machine_words(best[1]) if best else "",
        runs=best[2] if best else None,
    )


def _takes(
    reading: Reading, found: Kit, suction: Sequence[tuple[Machine, Device]], now: Instant
) -> Iterator[Take]:
    yield Take(("portable_suction",), say(mark("portable suction")), _charge_words(suction, found.home, now))
    yield from _box(found, now)
    yield Take(("catheters",), say(mark("suction catheters")))
    if _has_hme(reading, now):
        yield Take((say(HME_LINE),), say(HME_LINE))
    yield Take(("gel",), say(mark("water-based gel")))
    yield Take(("contacts",), say(mark("contacts card")))
    yield Take((say(PLAN_LINE),), say(PLAN_LINE))


def _box(found: Kit, now: Instant) -> Iterator[Take]:
    """The box with all that lay in it when it was looked at; each thing that didn't, by itself."""
    check, tube = found.box.check, found.tube
    details = check.entry.details if check is not None else None
    needed = [
        item for item in items_of(details, tube.entry.details if tube else None) if item not in BY_THEMSELVES
    ]
    name = say(mark("spare-tube box"))
    if check is None or (tube is not None and order_of(check) < order_of(tube)):
        told = mark("not looked at since the tube was placed") if check else mark("never looked at")
        yield Take(tuple(needed), name, say(told))
        return
    wanting = {
        item: say(words)
        for words, items in (
            (mark("was opened"), found.box.opened),
            (mark("out of date"), found.box.expired),
            (mark("of another size"), found.box.wrong_size),
            (mark("was missing"), found.box.missing),
        )
        for item in items
    }
    time = near(found.home, check.time, now)
    yield Take(
        tuple(item for item in needed if item not in wanting),
        name,
        say(mark("looked at {time}")).format(time=time),
    )
    for item in needed:
        if item in wanting:
            yield Take((item,), ITEM.words(item), f"{wanting[item]}, {time}")


def _charge_words(suction: Sequence[tuple[Machine, Device]], home: Home, now: Instant) -> str:
    charges = [(device.charge, machine) for machine, device in suction if device.charge is not None]
    if not charges:
        return say(mark("charge not recorded"))
    held, machine = max(charges, key=lambda each: order_of(each[0]))
    words = (
        mark("{machine} charged {time}")
        if held.entry.details["charged"]
        else mark("{machine} not charged {time}")
    )
    return say(words).format(machine=machine_words(machine), time=near(home, held.time, now))


def _has_hme(reading: Reading, now: Instant) -> bool:
    """Whether one was changed in the last two weeks."""
    return any(
        held.entry.details["device"] == "hme" and held.time >= now - WINDOW_DAYS * DAY_24_H
        for held in reading.of("humidity")
    )


def _passes(reading: Reading, now: Instant) -> Use | None:
    """The catheter's passes a day but those in the mouth, and how far days differ."""
    home, today = reading.home, reading.home.day(now)
    daily = Counter[date]()
    for held in reading.of(SUCTION.name):
        if held.entry.details.get("route") != "oral":
            daily[home.day(held.time)] += held.entry.details.get("passes", 1)
    varied = newest_days(reading, today)
    recent = [day for day in varied if (today - day) <= timedelta(days=WINDOW_DAYS)]
    ratio, counts = ratio_of([daily[day] for day in varied]), [daily[day] for day in recent]
    return use_of(counts, ratio) if any(counts) and ratio is not None else None


def catheter_words(found: GoingOut, hours: Fraction) -> str:
    """How many catheters for so many hours."""
    counts = found.catheters(hours)
    if counts is None:
        return say(mark("how many isn't known from the record"))
    usual, enough = counts
    words = say_n(
        "about one in {hours}, {enough} to be sure", "about {count} in {hours}, {enough} to be sure", usual
    )
    return words.format(count=usual, hours=hour_words(hours), enough=enough)


def hour_words(hours: Fraction) -> str:
    """So many hours."""
    return f"{plain(hours)}\N{NO-BREAK SPACE}h"


def battery_words(found: GoingOut, hours: Fraction | None) -> str:
    """How long the suction machine ran on its battery, and whether the hours planned are longer."""
    if found.runs is None:
        return say(mark("Nobody wrote down how long the suction machine ran on its battery."))
    words = f"{found.machine}: {minute_words(found.runs, found.home)}."
    if hours is None:
        return words
    longer = mark("The {hours} planned are longer than that.")
    within = mark("Planned: {hours}.")
    told = say(longer if hours * 60 > found.runs.cautious else within).format(hours=hour_words(hours))
    return f"{words} {told}"


def out_words(found: GoingOut) -> str:
    """Since when they are out, and until about when it was planned."""
    assert found.out is not None
    details, time = found.out.entry.details, near(found.home, found.out.time, found.now)
    if "hours" not in details:
        return say(mark("Out since {time}. For how long isn't recorded.")).format(time=time)
    hours = exact(details["hours"])
    until = near(found.home, found.out.time + int(hours * 60) * MINUTE, found.now)
    return say(mark("Out since {time}, planned for {hours}: until about {until}.")).format(
        time=time, hours=hour_words(hours), until=until
    )
