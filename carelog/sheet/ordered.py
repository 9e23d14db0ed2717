"""The order: what runs out, how many packs last until the next one, the reckoning beside it, room to sign."""

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from carelog.analysis.ordering import FOR_DAYS, Coming, OrderLine, lasting, order_lines
from carelog.analysis.pictures import Columns
from carelog.analysis.spread import VARIED_DAYS
from carelog.analysis.times import full_day, month_day
from carelog.domain.entry import Entry
from carelog.domain.units import exact, plain
from carelog.kinds.contact import CONTACT
from carelog.sheet.blocks import (
    Block,
    Content,
    Facts,
    Handwriting,
    Heading,
    Item,
    Points,
    Tabled,
    TableRow,
    Words,
    words,
)
from carelog.sheet.flagged import alert
from carelog.sheet.head import LANGUAGE, banner, feet, phone
from carelog.sheet.material import Material, print_mark
from carelog.sheet.standing import tube_words, unknown
from carelog.text import mark, say, say_n

_COUNTED = mark("{left} (counted {count} on {day})")
_USED = mark("{count} a day")
_ENTERED = mark("{count} a day as entered")
_NEED = mark(
    "{use} for {days} days ({stretch}, {lead} lead time, {reserve} reserve) are {need}; less {left} in stock"
)
_UNUSED = mark(" ({count} more go out of date before they are used)")
_COMING = mark(", less {count} ordered {when}")
_LATE = mark("{count} ordered {when} should have come by now: not reckoned with")
_HOW = mark(
    "In brackets: how long it lasts at least and at most, each in {sure} of 100. This follows from how use "
    "went up and down on the last {days} recorded days. Order by is the earlier of two days. One leaves lead "
    "time and reserve. Up to the other, the stock outlasts a delivery in {sure} of 100."
)
_PACK_OF = mark("; a pack has {size}")
_UNKNOWN = mark("Nothing can be suggested: {what}.")
_NONE_DUE = mark("Of what is counted nothing has to be ordered by {day}. Ask for all to see the rest.")
_NO_STOCK = mark("No stock was counted here so far.")
_SPAN = mark("What to order by {day}, to last {days} days more than lead time and reserve")
_ALL = mark("All that was counted, to last {days} days more than lead time and reserve")


def order_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """What is due to be ordered within the lead time, or everything; what can't be reckoned is named."""
    title = say(mark("Order"))
    plan = found.review.plan_at(found.period.judged - 1)
    lines = order_lines(found.reading, plan, found.period.judged - 1, found.request.sure)
    return Content(
        title=title,
        subtitle=_subtitle(found, lines),
        running=f"{title} · {full_day(found.period.days[-1])} · {found.name}",
        feet=feet(found, print_mark(found, entries)),
        blocks=(_head(found), *_body(found, lines), *_signing()),
        banner=banner(found),
        alert=alert(found),
        language=say(LANGUAGE),
    )


def _subtitle(found: Material, lines: Sequence[OrderLine]) -> str:
    if found.request.everything or not lines:
        return say(_ALL).format(days=FOR_DAYS)
    return say(_SPAN).format(day=full_day(_last(found, lines)), days=FOR_DAYS)


def _last(found: Material, lines: Sequence[OrderLine]) -> date:
    """The last day of the lead time from the sheet's day on."""
    today = found.period.days[-1].toordinal()
    return date.fromordinal(min(today + max(int(lines[0].lead), 0), date.max.toordinal()))


def _head(found: Material) -> Facts:
    born = found.person.get("born")
    rows: list[tuple[str, Words]] = [
        (say(mark("Name")), words(found.name, bold=True)),
        (say(mark("Born")), words(full_day(date.fromisoformat(born)) if born else unknown())),
        (say(mark("Tube in place")), words("; ".join(part for part in tube_words(found) if part))),
    ]
    purpose = CONTACT.field("for")
    for held in found.contacts:
        details = held.entry.details
        if purpose is not None and details.get("for") == "supplies":
            usual = f", {details['when']}" if details.get("when") else ""
            name = details.get("name") or details["role"]
            rows.append((say(mark("Supplies from")), words(f"{name}: {phone(details)}{usual}")))
    if not found.contacts:
        rows.append((say(mark("Contacts")), words(say(mark("no contact recorded")))))
    return Facts(tuple(rows))


def _body(found: Material, lines: Sequence[OrderLine]) -> Iterator[Block]:
    wanted = [line for line in lines if found.request.everything or line.is_due]
    vague = [line for line in lines if line.is_due is None and line not in wanted]
    heads = (
        (say(mark("Item")), 0.23),
        (say(mark("Pack size")), 0.1),
        (say(mark("In stock")), 0.19),
        (say(mark("A day")), 0.08),
        (say(mark("Days left")), 0.13),
        (say(mark("Order by")), 0.13),
        (say(mark("Suggested")), 0.14),
    )
    if wanted:
        yield Tabled(say(mark("To order")), heads, tuple(_row(found, line) for line in wanted))
        if any(line.lasts for line in wanted):
            how = say(_HOW).format(sure=found.request.sure, days=VARIED_DAYS)
            yield Points((Item(words(how)),))
    else:
        yield Heading(say(mark("To order")))
        none = say(_NONE_DUE).format(day=full_day(_last(found, lines))) if lines else say(_NO_STOCK)
        yield Points((Item(words(none)),))
    if vague:
        yield Heading(say(mark("Not known when to order")))
        yield Points(
            tuple(
                Item((*words(f"{line.supply.item}: ", bold=True), *words(_lacking(line)))) for line in vague
            )
        )


def _row(found: Material, line: OrderLine) -> TableRow:
    supply = line.supply
    cells = (
        supply.item,
        unknown() if line.pack_size is None else plain(line.pack_size),
        _stock(found, line),
        unknown() if supply.per_day is None else _about(supply.per_day),
        unknown() if supply.days_left is None else lasting(line),
        unknown() if line.order_by is None else _by(found, line.order_by),
        _suggested(line),
    )
    return TableRow(cells, _reckoning(found, line))


def _stock(found: Material, line: OrderLine) -> str:
    if line.counted is None or line.supply.count is None:
        return say(mark("never counted"))
    day = month_day(found.period.home.day(line.counted.time))
    count = plain(exact(line.counted.entry.details["count"]))
    return say(_COUNTED).format(left=plain(line.supply.count), count=count, day=day)


def _by(found: Material, day: date) -> str:
    passed = day < found.period.days[-1]
    return f"{month_day(day)}{say(mark(' (passed)'))}" if passed else month_day(day)


def _suggested(line: OrderLine) -> str:
    if line.wanted is None:
        return unknown()
    if line.packs is None:
        return say_n("1 piece", "{count} pieces", line.wanted).format(count=line.wanted)
    return say_n("1 pack", "{count} packs", line.packs).format(count=line.packs)


def _about(value: Fraction) -> str:
    """To a hundredth."""
    return plain(Fraction(round(value * 100), 100))


def _reckoning(found: Material, line: OrderLine) -> str:
    """How the suggestion comes about, to be reckoned again by hand; or what is missing for it."""
    supply = line.supply
    if supply.count is None or not supply.per_day or line.wanted is None:
        return say(_UNKNOWN).format(what=_lacking(line))
    text = say(_NEED).format(
        use=say(_ENTERED if supply.is_entered else _USED).format(count=_about(supply.per_day)),
        days=plain(line.days),
        stretch=FOR_DAYS,
        lead=plain(line.lead),
        reserve=plain(line.reserve),
        need=_about(supply.per_day * line.days),
        left=plain(line.usable),
    )
    if line.unused:
        text += say(_UNUSED).format(count=_about(line.unused))
    for each in line.orders:
        if not each.is_late:
            text += say(_COMING).format(count=plain(each.count), when=_ordered(found, each))
    wanted = say_n("1 piece", "{count} pieces", line.wanted).format(count=line.wanted)
    size = "" if line.packs is None else say(_PACK_OF).format(size=plain(line.pack_size or 0))
    late = "".join(
        f"; {say(_LATE).format(count=plain(each.count), when=_ordered(found, each))}"
        for each in line.orders
        if each.is_late
    )
    return f"{text}: {wanted}{size}{late}"


def _ordered(found: Material, coming: Coming) -> str:
    return month_day(found.period.home.day(coming.order.time))


def _lacking(line: OrderLine) -> str:
    """What would have to be known."""
    missing = []
    if line.supply.count is None:
        missing.append(say(mark("the stock was never counted")))
    if not line.supply.per_day:
        missing.append(say(mark("no use is recorded")))
    return ", ".join(missing) or say(mark("the day lies too far ahead"))


def _signing() -> Iterator[Block]:
    labels = (
        (say(mark("Prescriber: name and signature")), 0.5),
        (say(mark("Changes")), 0.32),
        (say(mark("Date")), 0.18),
    )
    yield Handwriting(labels, 2)
