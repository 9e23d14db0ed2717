"""The gauge of a pressure: the unit of the last readings offered, and the plan's range in the chosen unit."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from carelog.analysis.limits import Limit, limit_of, on_gauge, plan_says, range_words
from carelog.analysis.plans import in_force
from carelog.domain.entry import Json
from carelog.domain.field import Number
from carelog.domain.kind import Kind
from carelog.domain.moment import Instant
from carelog.domain.plan import Plan
from carelog.domain.units import PASCAL
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.forms.control import ABSENT, Control
from carelog.ui.forms.lines import NumberControl
from carelog.ui.present import Present
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.ports import Record

LAST = 3
"""So many readings must agree (common practice, no source): where two gauges are in use, none is offered."""

_NOT_READ = mark("The plan isn't read yet.")
_NO_LIMIT = mark("No limit is set in the plan.")
_IN_UNIT = mark("On a gauge in {unit}: {range}.")
_THEN = mark("So it was when this was read; another plan holds now.")
_OFFERED = mark("{unit} is chosen as in the last readings. Does this gauge show {unit} too?")


def unit_field(kind: Kind) -> str:
    """The field of the unit that a needed number of this kind is never without; empty: there is none."""
    found = (each.type.unit_field for each in kind.fields if each.required and isinstance(each.type, Number))
    return next((name for name in found if name), "")


class GaugeLine(Words):
    """One line about the unit and the range; it offers a unit, and never changes one."""

    def __init__(
        self,
        access: Access,
        present: Present,
        kind: Kind,
        controls: Mapping[str, Control],
        at: Instant | None = None,
    ) -> None:
        """`at`: when it was read, where an entry is changed; None: now."""
        super().__init__()
        self._at = at
        self.setObjectName("gauge_line")
        self._access = access
        self._present = present
        self._kind = kind
        self._controls = controls
        self.numbers = [each for each in controls.values() if isinstance(each, NumberControl)]
        self._unit = controls[unit_field(kind)]
        self._offered: Json = None
        for control in controls.values():
            control.when_changed.append(self.refresh)

    def offer(self) -> None:
        """Read the last readings, and choose their unit when they agree and nothing was entered yet."""
        kind, field = self._kind.name, unit_field(self._kind)
        self._access.read(lambda record: last_unit(record, kind, field), self._choose, lambda _sentence: None)

    def _choose(self, unit: Json) -> None:
        if unit is None or any(control.typed() for control in self._controls.values()):
            return
        self._unit.put(unit)
        self._offered = unit
        self.refresh()

    def refresh(self) -> None:
        """Say the plan's range, also in the unit that is chosen."""
        unit = self._unit.read()
        parts = [self._range(unit if isinstance(unit, str) else "")]
        if unit is not ABSENT and unit == self._offered:
            parts.append(say(_OFFERED).format(unit=unit))
        self.say(" ".join(parts))

    def _range(self, unit: str) -> str:
        picture = self._present.picture
        if picture is None:
            return say(_NOT_READ)
        now = self._limit(picture.plan)
        limit = now if self._at is None else self._limit(in_force(picture.plans, self._at))
        if limit is None:
            return say(_NO_LIMIT)
        told = plan_says(limit)
        if limit != now:
            told = f"{told} {say(_THEN)}"
        if not unit or unit == limit.unit:
            return told
        return f"{told} {say(_IN_UNIT).format(unit=unit, range=range_words(on_gauge(limit, unit)))}"

    def _limit(self, plan: Plan | None) -> Limit | None:
        return limit_of(self._kind.name, plan.limits(self._kind.name) if plan else {})


def last_unit(record: "Record", kind: str, field: str) -> Json:
    """The unit in which the last readings agree; None where they don't, or where there are none."""
    from carelog.analysis.in_force import Reading

    units: Sequence[Json] = [
        held.entry.details.get(field) for held in Reading(record.newest(kind, LAST)).of(kind)[-LAST:]
    ]
    return units[0] if units and units[0] in PASCAL and all(unit == units[0] for unit in units) else None
