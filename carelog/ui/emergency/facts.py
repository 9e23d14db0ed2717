"""What stands on the emergency page, in order: whom to call, the plan, tube, spares, airway, allergies."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from carelog.analysis.titles import with_days
from carelog.domain.entry import Details
from carelog.domain.units import plain
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import say
from carelog.ui import times
from carelog.ui.naming import contact_words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture

AIRWAY = {"open": "yes", "partly": "partly", "none": "no"}


@dataclass(frozen=True, slots=True)
class EmergencyFact:
    """A heading and its text; some say all in their heading."""

    heading: str
    text: str = ""


def facts(picture: "Picture") -> list[EmergencyFact]:
    """Everything that the page says, what is needed at once first; what nobody recorded says so."""
    return [*first_facts(picture), *other_facts(picture)]


def first_facts(picture: "Picture") -> list[EmergencyFact]:
    """What is needed at once: whom to call, and the person's own plan."""
    if not picture.count:
        return [EmergencyFact(nothing_words())]
    plan = picture.person["emergency_plan"] or say("No emergency plan recorded. Use the plan on paper.")
    return [EmergencyFact(say("Call"), call_words(picture)), EmergencyFact(say("Emergency plan"), plan)]


def other_facts(picture: "Picture") -> list[EmergencyFact]:
    """What whoever comes to help wants to know."""
    person = picture.person
    unknown = say("not recorded")
    passes = AIRWAY.get(str(person["upper_airway"] or ""), "")
    return [
        EmergencyFact(say("Tube in place"), tube_words(picture) or unknown),
        EmergencyFact(say("Spare tubes"), spare_words(picture) or unknown),
        EmergencyFact(f"{say('Can air pass by mouth and nose?')} {say(passes) if passes else unknown}"),
        EmergencyFact(say("Allergies"), person["allergies"] or unknown),
        *contact_facts(picture),
        EmergencyFact(say("The person"), person_words(picture)),
        EmergencyFact(say("Recorded up to"), known_words(picture)),
    ]


def nothing_words() -> str:
    """What stands where nothing was recorded yet."""
    return say("Nothing recorded yet: {number}").format(number=say("your country's emergency number"))


def known_words(picture: "Picture") -> str:
    """When what stands here was last written to; a date that is clear on paper too."""
    if picture.last_known is None:
        return say("no entries yet")
    day = times.full_day(picture.home.day(picture.last_known))
    return f"{day}, {times.clock(picture.home, picture.last_known)}"


def person_words(picture: "Picture") -> str:
    """Who it is about: name and birth date."""
    name = picture.person.name or say("no name recorded")
    born = picture.person["born"]
    words = f"{name}, {say('born {date}').format(date=born)}" if born else name
    made_up = say("A made-up household: nothing here is real")
    return f"{words}. {made_up}." if picture.person.invented else words


def tube_words(picture: "Picture") -> str:
    """The tube in place in one line."""
    if picture.tube is None:
        return ""
    details = picture.tube.entry.details
    shown = {
        name: value
        for name, value in details.items()
        if name not in ("reason", "ease", "bleeding", "done_by")
    }
    return TUBE_CHANGE.line(with_days(TUBE_CHANGE.name, shown))


def spare_words(picture: "Picture") -> str:
    """The spare tubes by the newest box check."""
    held = picture.latest.get(BOX_CHECK.name)
    if held is None:
        return ""
    details = held.entry.details
    found = []
    for name, words in (("spare_same", say("same size")), ("spare_smaller", say("smaller"))):
        size = _size(details.get(name, {}))
        if size:
            found.append(f"{words}: {size}")
        elif name in details.get("present", ()):
            found.append(say("{which}: present, size not recorded").format(which=words))
        elif name in details.get("missing", ()):
            found.append(say("{which}: missing").format(which=words))
    return "; ".join(found)


def _size(spare: Details) -> str:
    if "id_mm" not in spare:
        return ""
    return say("ID {size}").format(size=f"{plain(spare['id_mm'])}\N{NO-BREAK SPACE}mm")


AT_ONCE = ("emergency", "night", "team")
"""Whom one calls in an emergency, in this order."""


def call_words(picture: "Picture") -> str:
    """The numbers to call, one a line: the emergency contact or the country's number, then night and team."""
    found = [held.entry.details for held in picture.contacts]
    of = {name: [contact_words(each) for each in found if each.get("for") == name] for name in AT_ONCE}
    first = of["emergency"] or [say("your country's emergency number")]
    return "\n".join([*first, *of["night"], *of["team"]])


def contact_facts(picture: "Picture") -> list[EmergencyFact]:
    """The contacts that aren't named at the top; or that there is none at all."""
    details = [held.entry.details for held in picture.contacts]
    others = [contact_words(each) for each in details if each.get("for") not in AT_ONCE]
    if not details:
        return [EmergencyFact(say("Contacts"), say("no contact recorded"))]
    return [EmergencyFact(say("Other contacts"), "\n".join(others))] if others else []
