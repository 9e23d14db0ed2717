"""The questions about people: whom the record is about, who writes, whom to call."""

from carelog.app.basics.answers import Answer, say_again, say_new, say_person
from carelog.domain.entry import Json
from carelog.domain.field import Field
from carelog.domain.moment import has_zone_form
from carelog.domain.trouble import Refused
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.recorder import RECORDER
from carelog.text import mark, say
from carelog.ui.first.asked import ChoiceAsked, FieldsAsked, Given, Now
from carelog.ui.recorder import names
from carelog.ui.words import Words

ROLES = {
    "emergency": mark("Emergency number"),
    "team": mark("Team"),
    "night": mark("Night number"),
}
"""What a number is called where nobody gave it a name."""
_ZONE = mark("Times of day are those of {zone}, as this computer has them.")


class PersonAsked(FieldsAsked):
    """The name and the birth date; the home zone goes with the first answer, and is said."""

    def __init__(self, now: Now, zone: str) -> None:
        """`zone`: this computer's."""
        details = now.picture.person.details
        super().__init__(now, PERSON, ("name", "born"), details)
        is_zone_known = "home_zone" in details
        self._zone = zone if not is_zone_known and has_zone_form(zone) else ""
        if self._zone:
            self.column.addWidget(Words(say(_ZONE).format(zone=self._zone), soft=True))

    def answer(self) -> Answer:
        zone: dict[str, Json] = {"home_zone": self._zone} if self._zone else {}
        return say_person({**self.given(), **zone})


class RecorderAsked(FieldsAsked):
    """Somebody who writes: the initials are made of the name until somebody types others."""

    def __init__(self, now: Now) -> None:
        given = now.held.entry.details if now.held is not None else {}
        super().__init__(now, RECORDER, ("name", "initials", "role"), given)
        self._taken = {initials for initials, _name in names(now.picture)} - {given.get("initials", "")}
        self._proposed = ""
        self._name, self._initials = self.controls["name"], self.controls["initials"]
        self._name.when_changed.append(self._propose)

    def _propose(self) -> None:
        now = str(self._initials.typed())
        if now not in ("", self._proposed):
            return
        self._proposed = initials_of(str(self._name.typed()), self._taken)
        self._initials.restore(self._proposed)

    def answer(self) -> Answer:
        given = self.given()
        if str(given["initials"]) in self._taken:
            words = say("{initials} is taken. Add one more letter.")
            raise Refused(words.format(initials=given["initials"]))
        return _say(RECORDER.name, given, self.now)


class ContactAsked(FieldsAsked):
    """A number to call, for one purpose."""

    def __init__(self, now: Now, purpose: str) -> None:
        given = now.held.entry.details if now.held is not None else {}
        fields = ("phone",) if purpose == "emergency" else ("phone", "name", "when")
        super().__init__(now, CONTACT, fields, given)
        self._purpose = purpose
        self._role = str(given.get("role") or say(ROLES[purpose]))

    def words_of(self, field: Field) -> str:
        return say(_CALLED.get(field.name, "")) or super().words_of(field)

    def answer(self) -> Answer:
        given = {**self.given(), "role": self._role, "for": self._purpose}
        return _say(CONTACT.name, given, self.now)


_CALLED = {
    "phone": mark("Telephone number"),
    "name": mark("Who answers there"),
    "when": mark("At what times"),
}


def person_choice(now: Now, name: str) -> ChoiceAsked:
    """One closed question about the person; the answer needs to know whom it is about."""
    return ChoiceAsked(now, PERSON, name, now.picture.person.details, say_person)


def _say(kind: str, given: Given, now: Now) -> Answer:
    if now.held is not None:
        return say_again(now.held.entry.id, given)
    return say_new(kind, {name: value for name, value in given.items() if value is not None})


def initials_of(name: str, taken: set[str]) -> str:
    """The initials of a name, with one letter more of its last word as long as somebody has them already."""
    words = [each for each in name.split() if each[:1].isalpha()]
    if not words:
        return ""
    first, last = "".join(each[0] for each in words[:-1]).upper(), words[-1]
    for length in range(1, len(last) + 1):
        found = first + last[0].upper() + last[1:length].lower()
        if found not in taken:
            return found
    return first + last[0].upper()
