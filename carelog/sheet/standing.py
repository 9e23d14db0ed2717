"""How things stand at the end of a sheet's days: each fact with when it was written down and by whom."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from carelog.analysis.cuff import cuff_events, cuff_says
from carelog.analysis.in_force import Held
from carelog.analysis.lately import newest
from carelog.analysis.marks import who
from carelog.analysis.outside import mark_words
from carelog.analysis.times import full_day
from carelog.analysis.tube import is_decannulated, tube_events
from carelog.domain.entry import Details, Json
from carelog.domain.field import Choice
from carelog.domain.moment import Instant
from carelog.kinds import named_or_unknown
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.observations import OBSERVATIONS
from carelog.kinds.person import PERSON
from carelog.kinds.stoma import STOMA
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.valve import VALVE
from carelog.sheet.head import clock_day
from carelog.sheet.material import Material
from carelog.text import mark, say

NOT_RECORDED = mark("not recorded")
NEAR_DAYS = 180  # further back a day is told with its year
_SIZES = ("id_mm", "cuff")
_MORE = ("od_mm", "length_mm", "fenestrated", "inner_tube", "inner_id_mm", "size_mark", "lot", "expiry")
_UP = mark("by that pressure the cuff was up")
_DOWN = mark("by that pressure the cuff was down")
Told = tuple[str, str]
"""What a fact is called, and its words."""


def unknown() -> str:
    """What stands where nothing is known."""
    return say(NOT_RECORDED)


def when(found: Material, instant: Instant) -> str:
    """Thu 22 Oct 14:05; of long ago the day with its year."""
    day = found.period.home.day(instant)
    far = abs((found.period.days[-1] - day).days) > NEAR_DAYS
    return full_day(day) if far else clock_day(found, instant)


def since(found: Material, held: Held) -> str:
    """When something was recorded, and by whom."""
    return f"{when(found, held.time)}, {who(held.first.by)}"


def about(found: Material, name: str) -> str:
    """A field of the person in words, or that nothing is recorded."""
    field = PERSON.field(name)
    value = found.person.get(name)
    given = isinstance(value, str) and value.strip()
    return field.type.words(value) if field is not None and given else unknown()


def last(found: Material, kind: str, *names: str) -> Held | None:
    """The newest entry of a kind before the sheet's end that gives one of these fields (none: any entry)."""
    return newest(
        found.reading,
        kind,
        found.period.judged,
        lambda details: not names or any(name in details for name in names),
    )


# The tube


def tube_words(found: Material) -> tuple[str, str]:
    """The tube in place: what must be read first, and the rest; or that there is none, or none recorded."""
    if found.tube is None:
        if is_decannulated(found.reading, found.period.judged - 1):
            day = tube_events(found.reading)[-1]
            return say(mark("no tube: taken out for good")), since(found, day)
        return unknown(), ""
    details = found.tube.entry.details
    return _part(details, _SIZES), _part(details, _MORE)


def _part(details: Details, names: Sequence[str]) -> str:
    return TUBE_CHANGE.line({name: details[name] for name in names if name in details})


def last_change(found: Material) -> Iterator[Told]:
    """How the tube was last changed, by whom, how hard it was; and when it is due next."""
    title, next_title = say(mark("Last tube change")), say(mark("Next change"))
    if found.tube is None:
        yield title, unknown()
        return
    details = found.tube.entry.details
    names = ("reason", "ease", "bleeding", "done_by")
    parts = [when(found, found.tube.time), _part(details, names)]
    for name, text in (
        ("ease", mark("how hard it was: not recorded")),
        ("done_by", mark("by whom: not recorded")),
    ):
        if name not in details:
            parts.append(say(text))
    yield title, "; ".join(part for part in parts if part)
    due = details.get("next_due")
    yield next_title, unknown() if due is None else _due(found, date.fromisoformat(due))


def _due(found: Material, day: date) -> str:
    text = say(mark("due {date}")).format(date=full_day(day))
    return text + say(mark(" (passed)")) if day < found.period.days[-1] else text


def inner_tube(found: Material) -> str:
    """The inner tube, and when it was last looked at or cleaned."""
    if found.tube is None:
        return unknown()
    field = TUBE_CHANGE.field("inner_tube")
    value = found.tube.entry.details["inner_tube"]
    words = field.type.words(value) if field else value
    if value == "none":
        return words
    held = last(found, INNER_TUBE.name)
    done = unknown() if held is None else f"{line_of(held)}, {since(found, held)}"
    return say(mark("{which}; last: {done}")).format(which=words, done=done)


def cuff(found: Material) -> str:
    """The cuff: of what kind, its last pressure since the tube was placed, whether it is up or down."""
    if found.tube is None:
        return unknown()
    details = found.tube.entry.details
    field = TUBE_CHANGE.field("cuff")
    if details["cuff"] == "none":
        return say(mark("no cuff"))
    parts = [field.type.words(details["cuff"]) if field else details["cuff"]]
    events = [each for each in cuff_events(found.reading) if each.says is not None]
    said = [e.held for e in events if found.tube.time < e.held.time < found.period.judged]
    pressure = newest(found.reading, CUFF_PRESSURE.name, found.period.judged, since=found.tube.time)
    if details["cuff"] != "foam" or pressure is not None:
        parts.append(_pressure(found, pressure))
    if not said:
        parts.append(say(mark("up or down: not recorded")))
    elif said[-1] is pressure:
        parts.append(say(_UP if cuff_says(pressure.entry) else _DOWN))
    else:
        parts.append(f"{line_of(said[-1])}, {since(found, said[-1])}")
    return "; ".join(part for part in parts if part)


def _pressure(found: Material, held: Held | None) -> str:
    if held is None:
        return say(mark("pressure not recorded"))
    return f"{with_marks(found, held)}, {since(found, held)}"


def with_marks(found: Material, held: Held) -> str:
    kind = named_or_unknown(held.entry.kind)
    marks = mark_words(kind, held.entry.details, found.review.judging.outside(held))
    return ", ".join([line_of(held), *marks])


def line_of(held: Held) -> str:
    return named_or_unknown(held.entry.kind).line(held.entry.details)


def valve(found: Material) -> str:
    """The speaking valve or cap: what was said of it last."""
    held = last(found, VALVE.name)
    return unknown() if held is None else f"{line_of(held)}, {since(found, held)}"


# The body


def humidity(found: Material) -> str:
    """What was last done with each device that moistens the air."""
    field = HUMIDITY.field("device")
    options = field.type.options if field and isinstance(field.type, Choice) else ()
    parts = []
    for option in options:
        says = partial(_is_of, device=option.value)
        held = newest(found.reading, HUMIDITY.name, found.period.judged, says)
        if held is not None:
            parts.append(f"{line_of(held)} {since(found, held)}")
    return "; ".join(parts) or unknown()


def _is_of(details: Details, device: Json) -> bool:
    return bool(details["device"] == device)


def skin(found: Material) -> str:
    """The skin at the stoma as it was last looked at."""
    held = last(found, STOMA.name)
    return unknown() if held is None else f"{line_of(held) or say(STOMA.title)}, {since(found, held)}"


def readings(found: Material) -> str:
    """The last of each reading with its time, and its mark where it lies outside a limit."""
    by: dict[str, list[str]] = {}
    order: list[Held] = []
    names = [field.name for field in OBSERVATIONS.fields]
    for group in (("temperature_c", "temperature_f"), *((name,) for name in names[2:])):
        held = last(found, OBSERVATIONS.name, *group)
        if held is None:
            continue
        details = {name: held.entry.details[name] for name in group if name in held.entry.details}
        outside = [each for each in found.review.judging.outside(held) if each.field in details]
        line = OBSERVATIONS.line(details)
        marks = mark_words(OBSERVATIONS, details, tuple(outside))
        by.setdefault(held.entry.id, []).append(", ".join([line, *marks]))
        order += [held] if held not in order else []
    parts = [f"{', '.join(by[held.entry.id])} ({since(found, held)})" for held in order]
    return "; ".join(parts) or unknown()


def at_its_end(found: Material) -> Material:
    """The same with the flags alone that are still there at the end of the sheet's days."""
    still = tuple(flag for flag in found.flagged.within if flag.cleared_at is None)
    return replace(found, flagged=replace(found.flagged, within=still, later=()))
