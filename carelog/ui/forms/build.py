"""From a kind's declaration to the controls of its form."""

from datetime import date

from carelog.domain.either import ChoiceOrText, OrNone
from carelog.domain.field import (
    KIND_NAME,
    WEEK,
    Choice,
    Date,
    Field,
    Group,
    ListOf,
    MapOf,
    Number,
    Reference,
    Text,
    Type,
    When,
    YesNo,
)
from carelog.domain.kind import Draw, Kind
from carelog.domain.moment import Home
from carelog.kinds import ALL
from carelog.ui.forms.box import FIELDS, ItemsControl
from carelog.ui.forms.control import Control
from carelog.ui.forms.labels import label
from carelog.ui.forms.lines import DateControl, NumberControl, PartsControl, WordsControl
from carelog.ui.forms.listed import ItemsAndLines, LinesControl
from carelog.ui.forms.moment import MomentControl
from carelog.ui.forms.nested import GroupControl, ReferenceControl
from carelog.ui.forms.picks import YES_NO, Picks
from carelog.ui.forms.week import WeekControl

LIKE = {"quiet": "23:00, 06:00"}
"""Examples of what is typed into fields whose form nobody would guess."""
LONG_AGO = frozenset({"born"})
"""Dates that nobody steps to from today."""


class Builder:
    """Makes the controls of one form, in the order of the fields."""

    def __init__(self, kind: Kind, home: Home, today: date, own: dict[str, Control] | None = None) -> None:
        """`own`: controls of some fields that the form makes itself."""
        self._own = own or {}
        self._kind = kind
        self._home = home
        self._today = today

    def controls(self) -> dict[str, Control]:
        """One control a field; the box's four lists are one control, under `items`."""
        fields = self._kind.fields
        if any(isinstance(field.type, MapOf) for field in fields):
            made: dict[str, Control] = {"items": ItemsControl()}
            return {**made, **self._made("", tuple(each for each in fields if each.name not in FIELDS))}
        return self._made("", tuple(each for each in fields if each.name not in self._own)) | self._own

    def _made(self, prefix: str, fields: tuple[Field, ...], within: str = "") -> dict[str, Control]:
        made: dict[str, Control] = {}
        units = {each.type.unit_field for each in fields if isinstance(each.type, Number)}
        by_name = {each.name: each for each in fields}
        for field in fields:
            if (
                not field.is_asked
                or field.name in units
                or (isinstance(field.type, When) and not field.required)
            ):
                continue  # the entry's own time stands for a moment that may be left out
            if isinstance(field.type, Number) and field.type.unit_field:
                name, words = prefix + field.name, within + label(field)
                unit_field = by_name[field.type.unit_field]
                known = made.get(unit_field.name)
                if isinstance(known, Picks):
                    made[field.name] = NumberControl(name, words, field.type, like=known)
                    continue
                unit = self._picks(prefix + unit_field.name, unit_field, within)
                made[field.name] = NumberControl(name, words, field.type, unit)
                made[unit_field.name] = unit
                continue
            made[field.name] = self._one(prefix + field.name, field, within)
        return made

    def _picks(self, name: str, field: Field, within: str) -> Picks:
        kind = field.type
        assert isinstance(kind, Choice)
        options = [(option.value, option.label) for option in kind.options]
        return Picks(name, within + label(field), options, not_tried=field.has_not_tried)

    def _one(self, name: str, field: Field, within: str) -> Control:
        kind: Type = field.type.type if isinstance(field.type, OrNone) else field.type
        if isinstance(kind, Choice):
            return self._picks(name, field, within)
        if isinstance(kind, ListOf):
            return self._list(name, field, kind)
        simple = self._simple(name, within + label(field), kind, field)
        return (
            simple if simple is not None else PartsControl(name, label(field), kind, LIKE.get(field.name, ""))
        )

    def _simple(self, name: str, words: str, kind: Type, field: Field) -> Control | None:
        if isinstance(kind, YesNo):
            return Picks(name, words, YES_NO, not_tried=field.has_not_tried)
        if isinstance(kind, Number):
            return NumberControl(name, words, kind)
        if kind is WEEK:
            return WeekControl(name, words, self._today)
        if isinstance(kind, Text):
            return WordsControl(name, words, kind)
        if isinstance(kind, Date):
            return DateControl(name, words, kind, self._today, has_steps=field.name not in LONG_AGO)
        if isinstance(kind, When):
            return MomentControl(name, words, self._home)
        if isinstance(kind, Reference):
            return ReferenceControl(name, words)
        if isinstance(kind, Group):
            return GroupControl(
                name, kind, lambda prefix, group: self._made(f"{prefix}_", group.fields, f"{words}: ")
            )
        return None

    def _list(self, name: str, field: Field, kind: ListOf) -> Control:
        if isinstance(kind.item, Choice):
            options = [(option.value, option.label) for option in kind.item.options]
            return Picks(name, label(field), options, is_many=True)
        if isinstance(kind.item, ChoiceOrText):
            return ItemsAndLines(name, label(field), kind.item)
        if kind.item == Text():
            return LinesControl(name, label(field))
        if kind.item == KIND_NAME:
            kinds = [(each.name, each.title) for each in ALL if each.tiles and _is_looked_at(each)]
            return Picks(name, label(field), kinds, is_many=True)
        return PartsControl(name, label(field), kind, LIKE.get(field.name, ""))


def _is_looked_at(kind: Kind) -> bool:
    """Whether somebody looks and may find that nothing is needed: care and checks, no events."""
    return kind.draw in (Draw.DOINGS, Draw.READINGS, Draw.COUNT) or kind.is_described_daily
