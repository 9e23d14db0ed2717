"""What a stranger must see first: who, can air pass, which tube, the emergency plan, whom to call."""

from datetime import date

from carelog.analysis.times import full_day
from carelog.domain.entry import Details
from carelog.kinds.contact import CONTACT
from carelog.sheet import standing
from carelog.sheet.blocks import Loud, LoudBox, Piece, Words, words
from carelog.sheet.head import phone
from carelog.sheet.material import Material
from carelog.sheet.standing import about, unknown
from carelog.text import mark, say

MOST_IN_A_BOX = {"allergies": 160, "emergency_plan": 480}
"""Characters; a longer text stands whole further down."""
AT_ONCE = ("emergency", "night", "team")
"""Whom one calls in an emergency, in this order."""
WHOLE = {"allergies": mark("Allergies, whole"), "emergency_plan": mark("Emergency plan, whole")}
"""The texts that a box may hold only the beginning of, and what they are called where they stand whole."""

_AIRWAY = {"open": mark("Yes"), "partly": mark("Partly"), "none": mark("No")}
_WHOLE_BELOW = mark("{start} … (whole further down: “{title}”)")


def at_a_glance(found: Material) -> Loud:
    """Name, born, allergies; airway and tube in the largest letters; the emergency plan and whom to call."""
    return Loud((_who(found), _airway(found), _what_to_do(found)))


def _who(found: Material) -> tuple[LoudBox, ...]:
    size = 1.7 if len(found.name) < 40 else 1.2
    return (
        LoudBox(say(mark("Name")), words(found.name, bold=True), 0.38, size),
        _born(found),
        LoudBox(say(mark("Allergies")), words(_start(found, "allergies"), bold=True), 0.34, 1.3),
    )


def _airway(found: Material) -> tuple[LoudBox, ...]:
    tube, rest = standing.tube_words(found)
    airway = _AIRWAY.get(str(found.person.get("upper_airway", "")))
    helped = say(mark("Helped by: {what}")).format(what=about(found, "helped_by"))
    return (
        LoudBox(
            say(mark("Can air pass by mouth and nose?")),
            words(say(airway) if airway else unknown(), bold=True),
            0.34,
            3.2 if airway else 2.2,
            under=(words(helped, bold=True),),
            heavy=True,
        ),
        LoudBox(
            say(mark("Tube in place")),
            words(tube, bold=True),
            0.66,
            2.6,
            under=(words(rest),) if rest else (),
            heavy=True,
        ),
    )


def _what_to_do(found: Material) -> tuple[LoudBox, ...]:
    plan = words(_start(found, "emergency_plan"), bold=True)
    return (
        LoudBox(say(mark("The person's own emergency plan")), plan, 0.58, 1.3),
        LoudBox(say(mark("Call")), _call(found), 0.42, 1.3),
    )


def _born(found: Material) -> LoudBox:
    """The day of birth, and the age on the sheet's day."""
    born = found.person.get("born")
    age: tuple[Words, ...] = ()
    if born is not None:
        day, today = date.fromisoformat(born), found.period.days[-1]
        years = today.year - day.year - ((today.month, today.day) < (day.month, day.day))
        age = (words(say(mark("age {years}")).format(years=years), bold=True),) if years >= 0 else ()
    text = unknown() if born is None else full_day(date.fromisoformat(born))
    return LoudBox(say(mark("Born")), words(text, bold=True), 0.28, 1.2, age)


def _start(found: Material, name: str) -> str:
    """A text of the person for a box; of a long one its beginning, and where the whole stands."""
    text, most = about(found, name), MOST_IN_A_BOX[name]
    if len(text) <= most:
        return text
    return say(_WHOLE_BELOW).format(start=text[:most].rsplit(" ", 1)[0], title=say(WHOLE[name]))


def _call(found: Material) -> tuple[Piece, ...]:
    """The numbers to call, one a line: the emergency contact or the country's number, then night and team."""
    field = CONTACT.field("for")
    pieces: list[Piece] = []
    for purpose in AT_ONCE:
        same = [h.entry.details for h in found.contacts if h.entry.details.get("for") == purpose]
        if purpose == "emergency" and not same:
            pieces.append(Piece(say(mark("your country's emergency number")), bold=True))
        for each in same:
            meant = field.type.words(purpose) if field and purpose != "emergency" else ""
            pieces += [Piece("\n"), Piece(contact(each), bold=True), Piece(f" ({meant})" if meant else "")]
    return tuple(pieces[1:] if pieces[:1] == [Piece("\n")] else pieces)


def contact(details: Details) -> str:
    """Somebody to call: the name, or what they are, and the number."""
    return f"{details.get('name') or details['role']}: {phone(details)}"
