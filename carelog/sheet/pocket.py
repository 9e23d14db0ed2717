"""The card for a pocket: who this is, how they breathe, whom to call; the same text as a QR code."""

from collections.abc import Iterator, Sequence
from datetime import date

from carelog.analysis.pictures import Columns
from carelog.analysis.times import full_day
from carelog.analysis.tube import is_decannulated
from carelog.domain.entry import Entry
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.sheet.blocks import Card, CardLine, Cards, Content
from carelog.sheet.flagged import alert
from carelog.sheet.glance import contact
from carelog.sheet.head import LANGUAGE, banner, feet
from carelog.sheet.material import Material, print_mark
from carelog.sheet.standing import about, tube_words, unknown
from carelog.text import mark, say

MOST_BYTES = 560
"""Of UTF-8: a QR code of version 18 at level M (ISO/IEC 18004), 89 modules of 0.5 mm beside the text."""
MOST_NAME = 64
LEAST_PLAN = 40
CALLED = ("emergency", "night", "team", "family")
"""Whose numbers stand on a card, in this order; then those that are for nothing that is named here."""

_AIRWAY = {
    "open": mark("Air passes by mouth and nose"),
    "partly": mark("Air passes partly by mouth and nose"),
    "none": mark("NO air passes by mouth and nose"),
}
_AIRWAY_UNKNOWN = mark("Whether air passes by mouth and nose: not recorded")
_NECK = mark("Breathes through a tube in the neck")
_GOES_ON = mark("{start} … (goes on: hand-over sheet)")
_MORE_NUMBERS = mark("{count} more: hand-over sheet")
_RECORDED = mark("Recorded up to {date}. A record, not advice.")
_NO_ENTRIES = mark("Nothing recorded yet. A record, not advice.")
_HOW = mark("Cut along the lines, fold in the middle with the words outside. Four of the same.")


def card_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """Four cards on a page; once there is a second language, two of them are in that one."""
    title = say(mark("Card for the pocket"))
    return Content(
        title=title,
        subtitle=say(_HOW),
        running=f"{title} · {found.name}",
        feet=feet(found, print_mark(found, entries)),
        blocks=(Cards((card(found),) * 4),),
        banner=banner(found),
        alert=alert(found),
        language=say(LANGUAGE),
    )


def card(found: Material) -> Card:
    """The card's lines; of what is too long for the code its beginning, and where the rest stands."""
    all_numbers = tuple(_numbers(found))
    name = found.name
    name = name if len(name) <= MOST_NAME else say(_GOES_ON).format(start=name[:MOST_NAME])
    whole = about(found, "emergency_plan").strip()
    for plan in (whole, *_shorter(whole)):
        made = Card(tuple(_lines(found, name, all_numbers, plan)))
        if _fits(made):
            return made
    for numbers in _fewer(all_numbers):
        made = Card(tuple(_lines(found, name, numbers, plan)))
        if _fits(made):
            return made
    return Card(tuple(_cut(found, name, numbers, plan)))


def _fits(made: Card) -> bool:
    return len(made.text.encode()) <= MOST_BYTES


def _shorter(text: str) -> Iterator[str]:
    """A text with some words less at its end, and where it goes on; then ever less, down to its first."""
    while len(text) > LEAST_PLAN:
        kept = text[: min(len(text) - 1, len(text) * 19 // 20)]
        text = kept.rsplit(" ", 1)[0] if " " in kept else kept
        yield say(_GOES_ON).format(start=text)


def _fewer(numbers: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """One number less, and how many more there are; then two less, down to none."""
    for kept in reversed(range(len(numbers))):
        yield (*numbers[:kept], say(_MORE_NUMBERS).format(count=len(numbers) - kept))


def _cut(found: Material, name: str, numbers: Sequence[str], plan: str) -> Iterator[CardLine]:
    """Lines that are each too long: each one's beginning, and where the rest stands."""
    for line in _lines(found, name, numbers, plan):
        text = line.text.encode()
        if len(text) <= 80:
            yield line
        else:
            start = text[:40].decode(errors="ignore")
            yield CardLine(line.about, say(_GOES_ON).format(start=start), line.size, line.is_back)


def _lines(found: Material, name: str, numbers: Sequence[str], plan: str) -> Iterator[CardLine]:
    if found.is_invented:
        yield CardLine("", say(mark("MADE-UP HOUSEHOLD")))
    yield CardLine(say(mark("name")), name, 1.5)
    born = found.person.get("born")
    if born is not None:
        words_born = say(mark("born {date}")).format(date=full_day(date.fromisoformat(born)))
        yield CardLine(say(mark("born")), words_born)
    if not is_decannulated(found.reading, found.period.judged - 1):
        yield CardLine(say(mark("tube")), say(_NECK), 1.25)
    airway = _AIRWAY.get(str(found.person.get("upper_airway", "")), _AIRWAY_UNKNOWN)
    yield CardLine(say(mark("air by mouth and nose")), say(airway), 1.25)
    tube = "; ".join(part for part in (tube_words(found)[0], _size_mark(found)) if part)
    yield CardLine(say(mark("tube")), f"{say(mark('Tube'))}: {tube}")
    for number in numbers:
        yield CardLine(say(mark("numbers")), number, 1.15)
    yield CardLine(say(mark("emergency plan")), f"{say(mark('Emergency plan'))}: {plan}", is_back=True)
    yield CardLine("", _recorded(found), 0.85, is_back=True)


def _size_mark(found: Material) -> str:
    """What is printed on the tube's flange, and its inner tube."""
    if found.tube is None:
        return ""
    details = found.tube.entry.details
    names = ("inner_tube", "size_mark")
    return TUBE_CHANGE.line({name: details[name] for name in names if name in details})


def _recorded(found: Material) -> str:
    known = found.period.known
    if known is None:
        return say(_NO_ENTRIES)
    return say(_RECORDED).format(date=full_day(found.period.home.day(known)))


def _numbers(found: Material) -> Iterator[str]:
    """Whom to call: the emergency contact or the country's number, then night, team and family."""
    details = [held.entry.details for held in found.contacts]
    if not any(each.get("for") == "emergency" for each in details):
        yield say(mark("Call: {number}")).format(number=say(mark("your country's emergency number")))
    for purpose in CALLED:
        yield from (contact(each) for each in details if each.get("for") == purpose)
    if not details:
        yield say(mark("Contacts: {words}")).format(words=unknown())
