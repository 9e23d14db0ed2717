"""The spare-tube box, the machines, and what was packed when the person left."""

from collections.abc import Iterator

from carelog.analysis.box import SPARES, box
from carelog.analysis.in_force import Held
from carelog.analysis.people import person
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.outing import OUTING
from carelog.kinds.stay import STAY
from carelog.kinds.words import ITEM
from carelog.sheet.material import Material
from carelog.sheet.standing import Told, last, line_of, since, unknown
from carelog.text import mark, say


def spare_box(found: Material) -> str:
    """The spare-tube box by its newest check: the spares, and what isn't as it should be."""
    check = last(found, BOX_CHECK.name)
    if check is None:
        return unknown()
    today = found.period.days[-1]
    plan = found.review.plan_at(found.period.judged - 1)
    state = box(check, found.tube, plan, today, person(found.reading).is_adult(today))
    details = check.entry.details
    spares = {name: details[name] for name in SPARES if details.get(name)}
    parts = [say(mark("checked {when}")).format(when=since(found, check))]
    parts += BOX_CHECK.parts(spares)
    listed = (
        (mark("missing"), state.missing),
        (mark("opened"), state.opened),
        (mark("out of date"), state.expired),
        (mark("of another size than the tube asks for"), state.wrong_size),
    )
    for words, items in listed:
        if items:
            parts.append(f"{say(words)}: {', '.join(map(ITEM.words, items))}")
    if not state.missing:
        parts.append(say(mark("nothing was listed as missing")))
    return "; ".join(parts)


def equipment(found: Material) -> Iterator[Told]:
    """Each machine by its newest check, but those that were given back."""
    field = EQUIPMENT_CHECK.field("device")
    newest_of: dict[tuple[str, str], Held] = {}
    for held in found.reading.of(EQUIPMENT_CHECK.name):
        if held.time < found.period.judged:
            details = held.entry.details
            newest_of[details["device"], details.get("name", "")] = held
    for (device, name), held in newest_of.items():
        if held.entry.details.get("given_back") is True:
            continue
        rest = {each: value for each, value in held.entry.details.items() if each not in ("device", "name")}
        title = field.type.words(device) if field else device
        title = f"{title} {name}".strip()
        yield title[:1].upper() + title[1:], f"{EQUIPMENT_CHECK.line(rest)}, {since(found, held)}"


def on_the_way(found: Material) -> Iterator[Told]:
    """Where the person is, if away: what was packed when they left, and a stay that goes on."""
    out = last(found, OUTING.name)
    if out is not None and out.entry.details["action"] == "leaving":
        yield say(mark("Left home")), f"{line_of(out)}, {since(found, out)}"
    stay = last(found, STAY.name)
    if stay is not None and stay.entry.details["action"] == "start":
        yield say(mark("Away from home")), f"{line_of(stay)}, {since(found, stay)}"
