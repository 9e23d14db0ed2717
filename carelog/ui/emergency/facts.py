"""What stands on the emergency page, in order: plan, tube, spares, airway, allergies, contacts, number."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from carelog.domain.entry import Details
from carelog.domain.units import plain
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui import times
from carelog.ui.naming import contact_words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture

AIRWAY = {"open": "yes", "partly": "partly", "none": "no"}


@dataclass(frozen=True, slots=True)
class Fact:
    """A heading and its text; some say all in their heading."""

    heading: str
    text: str = ""


def facts(picture: "Picture") -> list[Fact]:
    """Everything that the page says; what nobody recorded says so."""
    person = picture.person
    unknown = say("not recorded")
    passes = AIRWAY.get(str(person["upper_airway"] or ""), "")
    return [
        Fact(
            say("Emergency plan"),
            person["emergency_plan"] or say("No emergency plan recorded. Use the plan on paper."),
        ),
        Fact(say("Tube in place"), tube_words(picture) or unknown),
        Fact(say("Spare tubes"), spare_words(picture) or unknown),
        Fact(f"{say('Can air pass by mouth and nose?')} {say(passes) if passes else unknown}"),
        Fact(say("Allergies"), person["allergies"] or unknown),
        *contact_facts(picture),
        Fact(say("Emergency number"), emergency_words(picture)),
        Fact(say("The person"), person_words(picture)),
        Fact(say("Recorded up to"), known_words(picture)),
    ]


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
    return named_or_unknown("tube_change").line(shown)


def spare_words(picture: "Picture") -> str:
    """The spare tubes by the newest box check."""
    held = picture.latest.get("box_check")
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


def contact_facts(picture: "Picture") -> list[Fact]:
    """All contacts, those for an emergency, the night and the team first."""
    order = ("emergency", "night", "team")
    found = sorted(
        (held.entry.details for held in picture.contacts),
        key=lambda each: order.index(each["for"]) if each.get("for") in order else len(order),
    )
    text = "\n".join(contact_words(each) for each in found)
    return [Fact(say("Contacts"), text or say("no contact recorded"))]


def emergency_words(picture: "Picture") -> str:
    """The recorded emergency contact, or the country's number."""
    found = [held.entry.details for held in picture.contacts if held.entry.details.get("for") == "emergency"]
    return "; ".join(contact_words(each) for each in found) or say("your country's emergency number")
