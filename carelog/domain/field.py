"""The words a declaration may use for its fields: what a value may be, how it is typed, how it reads."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

from carelog.domain.entry import Json, is_uuid
from carelog.domain.moment import Moment, has_zone_form, is_clock, is_date, is_month, is_week
from carelog.domain.number import typed
from carelog.domain.trouble import Refused
from carelog.domain.units import Number as AnyNumber
from carelog.domain.units import with_unit
from carelog.text import mark, say


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with one field: its dotted name and the end of a sentence (“… is missing”)."""

    field: str
    words: str


class Type(Protocol):
    """What a field's value may be."""

    def problem(self, value: Json) -> str | None:
        """What is wrong with a value that isn't this field's own, or None."""

    def typed(self, text: str) -> Json:
        """The value a person typed on one line; `Refused` when it isn't one."""

    def words(self, value: Json) -> str:
        """A valid value as people read it."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a kind's details."""

    name: str
    label: str
    type: Type
    required: bool = False
    help: str = ""
    asked: str = ""
    """What a form calls it, where that isn't its label."""
    has_not_tried: bool = False
    """Whether a form offers “not tried”, which records nothing: the question was read."""
    is_asked: bool = True
    """Whether a form asks for it; what is recorded stays as it is where it doesn't."""


@dataclass(frozen=True, slots=True)
class Option:
    """One choice: the value that is recorded and the words for it."""

    value: str | int
    label: str


def _json(text: str) -> Json:
    try:
        return json.loads(text, object_pairs_hook=each_name_once)
    except (ValueError, RecursionError):
        raise Refused(say("“{text}” isn't readable as JSON.").format(text=text[:40])) from None


def each_name_once(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    """The object of these pairs, for a JSON reader; `ValueError` where a name stands twice."""
    names = dict(pairs)
    if len(names) < len(pairs):
        raise ValueError  # a name twice in one object: which of the two was meant, nobody can say
    return names


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a closed list; for `ordered`, from least to most."""

    options: tuple[Option, ...]
    ordered: bool = False

    def problem(self, value: Json) -> str | None:
        if not isinstance(value, bool) and any(
            value == o.value and type(value) is type(o.value) for o in self.options
        ):
            return None
        return say("must be one of {choices}").format(choices=", ".join(str(o.value) for o in self.options))

    def typed(self, text: str) -> Json:
        return next((o.value for o in self.options if str(o.value) == text.strip()), text)

    def words(self, value: Json) -> str:
        return next((say(o.label) for o in self.options if o.value == value), str(value))


def choice(*options: tuple[str | int, str], ordered: bool = False) -> Choice:
    """A closed list from (value, words) pairs."""
    return Choice(tuple(Option(value, label) for value, label in options), ordered)


@dataclass(frozen=True, slots=True)
class YesNo:
    """True or false, each with its words in a line of text (empty: nothing is said)."""

    yes: str = ""
    no: str = ""

    def problem(self, value: Json) -> str | None:
        return None if isinstance(value, bool) else say("must be yes or no")

    def typed(self, text: str) -> Json:
        word = text.strip().lower()
        if word in ("yes", "true", "1"):
            return True
        if word in ("no", "false", "0"):
            return False
        raise Refused(say("“{text}” must be yes or no.").format(text=text[:40]))

    def words(self, value: Json) -> str:
        return say(self.yes or mark("yes")) if value else say(self.no or mark("no"))


@dataclass(frozen=True, slots=True)
class Number:
    """A number; its unit stands in `unit`, or in the field that `unit_field` names.

    `low` and `high` are what a value may be at all (`above`: more than that). Outside `ask_below` to
    `ask_above` (in the unit's own numbers; a pressure in cmH2O) a form asks once more, an import takes it.
    `limit`: the plan's limit that it is held against; a limit's own end may itself be outside (`is_outside`).
    """

    unit: str = ""
    unit_field: str = ""
    whole: bool = False
    low: AnyNumber | None = None
    above: AnyNumber | None = None
    high: AnyNumber | None = None
    ask_below: AnyNumber | None = None
    ask_above: AnyNumber | None = None
    limit: str = ""
    is_outside: bool = False

    def problem(self, value: Json) -> str | None:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return say("must be a number")
        if self.whole and not isinstance(value, int):
            return say("must be a whole number")
        if (self.low is not None and value < self.low) or (self.high is not None and value > self.high):
            return self._range()
        if self.above is not None and value <= self.above:
            return say("must be more than {low}").format(low=self.above)
        return None

    def _range(self) -> str:
        if self.high is None:
            return say("must be {low} or more").format(low=self.low)
        return say("must lie between {low} and {high}").format(low=self.low, high=self.high)

    def typed(self, text: str) -> Json:
        return typed(text)

    def words(self, value: Json) -> str:
        return with_unit(value, say(self.unit)).strip("\N{NO-BREAK SPACE}")


@dataclass(frozen=True, slots=True)
class Text:
    """Free text; `long` wants several lines, `form` says what it must look like."""

    long: bool = False
    form: Callable[[str], bool] | None = None
    like: str = ""

    def problem(self, value: Json) -> str | None:
        if not isinstance(value, str):
            return say("must be text")
        if self.form is not None and not self.form(value):
            return say("must be like {example}").format(example=self.like)
        return None

    def typed(self, text: str) -> Json:
        return text

    def words(self, value: Json) -> str:
        return str(value)


KIND_NAME = Text(like="suction")
RULE_NAME = Text(like="cuff_high")
ZONE = Text(form=has_zone_form, like="Europe/London")
WEEK = Text(form=is_week, like="2026-W47")
CLOCK = Text(form=is_clock, like="08:00")


@dataclass(frozen=True, slots=True)
class Date:
    """A day as YYYY-MM-DD; an expiry may also be a month, good to its end."""

    month: bool = False

    def problem(self, value: Json) -> str | None:
        if isinstance(value, str) and (is_date(value) or (self.month and is_month(value))):
            return None
        return (
            say("must be a date like 2026-11-22")
            if not self.month
            else say("must be like 2026-11-22 or 2026-11")
        )

    def typed(self, text: str) -> Json:
        return text.strip()

    def words(self, value: Json) -> str:
        return str(value)


@dataclass(frozen=True, slots=True)
class When:
    """A moment with its offset, in the exchange file's form of time."""

    def problem(self, value: Json) -> str | None:
        try:
            Moment.read(value if isinstance(value, str) else "")
        except Refused:
            return say("must be a time like 2026-11-22T03:10:00+00:00")
        return None

    def typed(self, text: str) -> Json:
        return text.strip()

    def words(self, value: Json) -> str:
        return str(value).replace("T", " ")


@dataclass(frozen=True, slots=True)
class Reference:
    """The id of another entry of a kind; its id says nothing to people."""

    kind: str

    def problem(self, value: Json) -> str | None:
        return None if isinstance(value, str) and is_uuid(value) else say("must be the id of an entry")

    def typed(self, text: str) -> Json:
        return text.strip().lower()

    def words(self, value: Json) -> str:
        return say("another entry") if isinstance(value, str) and is_uuid(value) else str(value)


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of values of one type, `least` to `most` of them."""

    item: Type
    least: int = 0
    most: int | None = None

    def problem(self, value: Json) -> str | None:
        if not isinstance(value, list):
            return say("must be a list")
        if len(value) < self.least or (self.most is not None and len(value) > self.most):
            return say("must be a list of {count}").format(count=self.least)
        return next((found for found in map(self.item.problem, value) if found), None)

    def typed(self, text: str) -> Json:
        if text.strip().startswith("["):
            return _json(text)
        return [self.item.typed(part.strip()) for part in text.split(",") if part.strip()]

    def words(self, value: Json) -> str:
        return ", ".join(self.item.words(item) for item in value) if value else say(mark("none"))


@dataclass(frozen=True, slots=True)
class MapOf:
    """An object whose names come from a closed list and whose values are of one type."""

    names: Choice
    item: Type

    def problem(self, value: Json) -> str | None:
        if not isinstance(value, dict):
            return say("must be an object")
        for name, item in value.items():
            found = self.names.problem(name) or self.item.problem(item)
            if found:
                return f"{name}: {found}"
        return None

    def typed(self, text: str) -> Json:
        return _json(text)

    def words(self, value: Json) -> str:
        return ", ".join(f"{self.names.words(name)} {self.item.words(item)}" for name, item in value.items())


@dataclass(frozen=True, slots=True)
class Group:
    """A nested object with fields of its own; names it doesn't know are kept."""

    fields: tuple[Field, ...]
    check: Callable[[Mapping[str, Json]], str | None] | None = None

    def problem(self, value: Json) -> str | None:
        if not isinstance(value, dict):
            return say("must be an object")
        found = problems(self.fields, value)
        if found:
            return self._plainly(found[0])
        return self.check(value) if self.check else None

    def _plainly(self, found: Problem) -> str:
        """A problem by the words of its field: “cuff pressure: unit is missing”."""
        each = next(each for each in self.fields if each.name == found.field)
        label = say(each.label) or each.name
        return f"{label}: {found.words}" if isinstance(each.type, Group) else f"{label} {found.words}"

    def typed(self, text: str) -> Json:
        return _json(text)

    def words(self, value: Json) -> str:
        known = {each.name for each in self.fields}
        rest = [f"{name}: {each}" for name, each in value.items() if name not in known]
        return ", ".join(part for part in [phrase(self.fields, value), *rest] if part)


def problems(fields: tuple[Field, ...], details: Mapping[str, Json]) -> list[Problem]:
    """What is wrong with the known fields, in their order; fields not known are nobody's problem."""
    found = []
    for each in fields:
        if each.name not in details:
            if each.required:
                found.append(Problem(each.name, say("is missing")))
            continue
        words = each.type.problem(details[each.name])
        if words:
            found.append(Problem(each.name, words))
        elif isinstance(each.type, Number) and each.type.unit_field and each.type.unit_field not in details:
            found.append(Problem(each.type.unit_field, say("is missing")))
    return found


def phrase(fields: tuple[Field, ...], details: Mapping[str, Json]) -> str:
    """The given values in the order of their fields, as one line of text."""
    return ", ".join(phrases(fields, details))


def phrases(fields: tuple[Field, ...], details: Mapping[str, Json]) -> list[str]:
    """The given values in the order of their fields, each with its label and unit."""
    units = {each.type.unit_field for each in fields if isinstance(each.type, Number)}
    parts = [_part(each, details) for each in fields if each.name in details and each.name not in units]
    return [part for part in parts if part]


def _part(each: Field, details: Mapping[str, Json]) -> str:
    words = bare(each, details)
    return f"{say(each.label)} {words}".strip() if each.label and not isinstance(each.type, YesNo) else words


def bare(each: Field, details: Mapping[str, Json]) -> str:
    """A field's value among details, with its unit and without its label."""
    value, kind = details[each.name], each.type
    if isinstance(kind, YesNo):
        return say(kind.yes if value else kind.no)
    if isinstance(kind, Number) and kind.unit_field:
        return with_unit(value, str(details.get(kind.unit_field, "")))
    return kind.words(value)
