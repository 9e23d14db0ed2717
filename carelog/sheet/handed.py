"""The hand-over: what a ward, an ambulance or a new carer must know, what matters at once first."""

from collections.abc import Iterator, Sequence

from carelog.analysis.in_force import Held
from carelog.analysis.lately import between
from carelog.analysis.marks import who
from carelog.analysis.pictures import Columns
from carelog.analysis.times import clock, full_day
from carelog.domain.entry import Details, Entry
from carelog.domain.moment import DAY_24_H
from carelog.kinds import named_or_unknown
from carelog.kinds.contact import CONTACT
from carelog.kinds.decannulation import DECANNULATION
from carelog.kinds.incident import INCIDENT
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.note import NOTE
from carelog.kinds.suction import SUCTION
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.sheet import baggage, secretions, standing
from carelog.sheet.blocks import Content, Heading, Item, Piece, Points, Spread, Ticks, words
from carelog.sheet.flagged import alert, flag_blocks
from carelog.sheet.glance import MOST_IN_A_BOX, WHOLE, at_a_glance, contact
from carelog.sheet.head import LANGUAGE, banner, feet, plan_facts
from carelog.sheet.listing import without_references
from carelog.sheet.material import Material, initials, print_mark
from carelog.sheet.sections import questions
from carelog.sheet.standing import Told, about, unknown, when
from carelog.text import mark, say

MOST_BEFORE = 12  # earlier problems that are told one by one
LOOKED_BACK = 90  # days, for what is written daily for years

_ALONG = (
    mark("spare-tube box"),
    mark("suction machine"),
    mark("its charger"),
    mark("backup suction"),
    mark("catheters"),
    mark("humidifier or nebuliser"),
    mark("speaking valve"),
    mark("what the person writes or points with"),
)
_MORE_BEFORE = mark("{count} more before {date}; the day's sheets have them")


def handover_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """How things stand at the end of the day, or now."""
    title = say(mark("Hand-over"))
    return Content(
        title=title,
        subtitle=_as_at(found),
        running=f"{title} · {full_day(found.period.days[-1])} · {found.name}",
        feet=feet(found, print_mark(found, entries)),
        blocks=(
            at_a_glance(found),
            Spread(tuple(_sections(found))),
            Ticks(say(mark("Came along (tick by hand)")), tuple(say(each) for each in _ALONG)),
        ),
        banner=banner(found),
        alert=alert(found),
        language=say(LANGUAGE),
    )


def _as_at(found: Material) -> str:
    """Which moment the sheet is of: by what was recorded last, never by the clock."""
    home, day = found.period.home, full_day(found.period.days[-1])
    zone = say(mark("times of {zone}")).format(zone=home.name)
    last = [held.time for held in found.reading.held if held.time < found.period.judged]
    if found.period.is_finished or not last:
        text = say(mark("as at the end of {day}")) if found.period.is_finished else say(mark("as on {day}"))
        return f"{text.format(day=day)}; {zone}"
    text = say(mark("as on {day}; last entry {time}")).format(day=day, time=when(found, max(last)))
    return f"{text}; {zone}"


# Below


def _sections(found: Material) -> Iterator[Heading | Points]:
    yield from _section(mark("Tube and airway"), _airway(found))
    yield from _section(mark("Suction and secretions"), _suction(found))
    yield from _section(mark("The person"), _person(found))
    yield from flag_blocks(standing.at_its_end(found))
    yield from _section(mark("Earlier problems"), _problems(found))
    yield from _section(mark("Body"), _body(found))
    yield from _section(mark("Plan and limits"), _plan(found))
    yield from _section(mark("Kit"), _kit(found))
    yield from _section(mark("People and numbers"), _people(found))
    yield from _left_for_the_next(found)
    yield from questions(found)


def _section(title: str, told: Iterator[Told]) -> Iterator[Heading | Points]:
    items = [Item((Piece(f"{name}: " if name else "", bold=True), Piece(text))) for name, text in told]
    yield Heading(say(title))
    yield Points(tuple(items) or (Item(words(unknown())),))


def _airway(found: Material) -> Iterator[Told]:
    yield say(mark("Inner tube")), standing.inner_tube(found)
    yield say(mark("Cuff")), standing.cuff(found)
    yield say(mark("Speaking valve or cap")), standing.valve(found)
    yield from standing.last_change(found)
    yield say(mark("Spare-tube box")), baggage.spare_box(found)


def _suction(found: Material) -> Iterator[Told]:
    yield say(mark("Now")), secretions.suction_now(found)
    yield say(mark("As usual")), secretions.suction_usual(found)
    yield say(mark("Catheter")), secretions.catheter(found)
    yield say(mark("Vacuum")), secretions.vacuum(found)
    yield say(mark("Humidification")), standing.humidity(found)


def _person(found: Material) -> Iterator[Told]:
    yield say(mark("Communication")), about(found, "communication")
    yield say(mark("Swallowing")), about(found, "swallow")
    yield say(mark("Reason for the tracheostomy")), about(found, "reason")
    for name, title in WHOLE.items():
        if len(about(found, name)) > MOST_IN_A_BOX[name]:
            yield say(title), about(found, name)
    yield from baggage.on_the_way(found)


def _body(found: Material) -> Iterator[Told]:
    yield say(mark("Skin at the stoma")), standing.skin(found)
    yield say(mark("Last readings")), standing.readings(found)


def _plan(found: Material) -> Iterator[Told]:
    for name, text in plan_facts(found):
        yield name, "".join(piece.text for piece in text)


def _kit(found: Material) -> Iterator[Told]:
    machines = list(baggage.equipment(found))
    yield from machines or [(say(mark("Machines")), unknown())]


def _people(found: Material) -> Iterator[Told]:
    purpose = CONTACT.field("for")
    for held in found.contacts:
        details = held.entry.details
        meant = purpose.type.words(details["for"]) if purpose and "for" in details else ""
        meant = f" ({meant})" if meant and meant != details["role"] else ""
        usual = f", {details['when']}" if details.get("when") else ""
        role = details["role"]
        yield f"{role[:1].upper()}{role[1:]}{meant}", f"{contact(details)}{usual}"
    if not found.contacts:
        yield say(mark("Contacts")), say(mark("no contact recorded"))
    yield say(mark("Initials")), initials(found) or say(mark("nobody recorded who writes"))


def _left_for_the_next(found: Material) -> Iterator[Heading | Points]:
    """What somebody left for whoever takes over, of the last seven days."""
    end = found.period.judged
    held = between(found.reading, NOTE.name, end - 7 * DAY_24_H, end, lambda d: d.get("for_next") is True)
    if held:
        told = (("", f"{when(found, h.time)} {who(h.first.by)}: {h.entry.note.strip()}") for h in held)
        yield from _section(mark("Left for whoever takes over, last 7 days"), told)


# Earlier problems


def _problems(found: Material) -> Iterator[Told]:
    """What went wrong before, the newest first: incidents, hard or failed changes, bleeding, stuck tubes."""
    held = sorted(_troubles(found), key=lambda each: each.time, reverse=True)
    for each in held[:MOST_BEFORE]:
        yield when(found, each.time), _trouble(found, each)
    if len(held) > MOST_BEFORE:
        day = found.period.home.day(held[MOST_BEFORE - 1].time)
        count = len(held) - MOST_BEFORE
        yield "", say(_MORE_BEFORE).format(count=count, date=full_day(day))
    if not held:
        yield "", say(mark("none recorded"))
    text = mark("Stuck inner tubes and fresh blood by suction: of the last {days} days.")
    yield "", say(text).format(days=LOOKED_BACK)


def _troubles(found: Material) -> Iterator[Held]:
    end, start = found.period.judged, found.period.judged - LOOKED_BACK * DAY_24_H
    reading = found.reading
    yield from (h for h in reading.of(INCIDENT.name) if h.time < end and "ends" not in h.entry.details)
    yield from (h for h in reading.of(TUBE_CHANGE.name) if h.time < end and _was_hard(h.entry.details))
    yield from (h for h in reading.of(DECANNULATION.name) if h.time < end)
    yield from between(reading, INNER_TUBE.name, start, end, lambda d: d["outcome"] == "stuck")
    yield from between(reading, SUCTION.name, start, end, lambda d: d.get("blood") == "fresh")


def _was_hard(details: Details) -> bool:
    return details.get("ease") in ("hard", "failed") or details.get("bleeding") in ("streaks", "fresh")


def _trouble(found: Material, held: Held) -> str:
    kind = named_or_unknown(held.entry.kind)
    names = ("reason", "ease", "bleeding", "done_by") if kind is TUBE_CHANGE else ()
    details = {n: v for n, v in held.entry.details.items() if not names or n in names}
    line = kind.line(without_references(kind, details))
    note = f" “{held.entry.note.strip()}”" if held.entry.note.strip() else ""
    return f"{say(kind.title)}: {line}{note}, {who(held.first.by)}{_ended(found, held)}"


def _ended(found: Material, held: Held) -> str:
    ids = {each.id for each in held.chain}
    for end in found.reading.of(INCIDENT.name):
        if end.entry.details.get("ends") in ids and end.time < found.period.judged:
            time = (
                f"{when(found, end.time)}"
                if end.time - held.time > DAY_24_H
                else clock(found.period.home, end.time)
            )
            return say(mark("; ended {time}")).format(time=time)
    return ""
