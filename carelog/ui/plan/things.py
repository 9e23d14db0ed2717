"""What a plan can ask for: each thing with the rhythms that one press gives, and what is published of it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from carelog.domain.entry import Details, details_text
from carelog.domain.field import Choice
from carelog.domain.kind import Draw, Kind
from carelog.kinds import ALL, task_name
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.mouth_care import MOUTH_CARE
from carelog.kinds.stoma import STOMA
from carelog.kinds.ties import TIES
from carelog.text import say
from carelog.ui.plan.defaults import DEFAULTS, INNER

OFTEN: Sequence[int] = (4, 6, 8, 12, 24)
SELDOM: Sequence[int] = (12, 24, 168)
"""Hours: what is looked at by the day or the week."""


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing that may be asked for: its kind and what its entries must match, and the usual rhythms."""

    kind: str
    where: Details = field(default_factory=dict)
    rhythms: Sequence[int] = OFTEN

    @property
    def name(self) -> str:
        """Its name among the widgets."""
        return "_".join([self.kind, *(str(each) for each in self.where.values())])

    @property
    def title(self) -> str:
        """What it is called."""
        return task_name(self.kind, self.where)

    @property
    def key(self) -> str:
        """What tells it from the others, as two tasks of a plan may not both have it."""
        return key_of(self.kind, self.where)

    @property
    def suggested(self) -> int | None:
        """The hours that may be offered to an adult; None: none are."""
        found = next((task for task, _source in _suggestions() if key_of_task(task) == self.key), None)
        return None if found is None else found["every_h"]

    @property
    def source(self) -> str:
        """Where that comes from, or why nothing is suggested; may be empty."""
        if self.kind == INNER_TUBE.name:
            return say(INNER.source)
        return next((say(source) for task, source in _suggestions() if key_of_task(task) == self.key), "")


def key_of(kind: str, where: Details) -> str:
    """What two tasks of one plan may not share."""
    return details_text([kind, dict(where)])


def key_of_task(task: Details) -> str:
    """The same of a task's details."""
    return key_of(task["kind"], task.get("where", {}))


def _suggestions() -> Iterator[tuple[Details, str]]:
    for default in DEFAULTS:
        for task in default.puts.get("tasks", ()):
            yield task, default.source


USUAL: tuple[Thing, ...] = (
    Thing(INNER_TUBE.name),
    Thing(CUFF_PRESSURE.name),
    Thing(STOMA.name),
    Thing(TIES.name),
    Thing(HUMIDITY.name, {"device": "hme"}, (12, 24, 48)),
    Thing(MOUTH_CARE.name),
    Thing(BOX_CHECK.name, {}, SELDOM),
    Thing(EQUIPMENT_CHECK.name, {"device": "suction_machine"}, SELDOM),
)
"""What most plans ask for, in the order in which it is offered (our own choice)."""


def further() -> list[Thing]:
    """All that a plan can ask for beside the usual."""
    found = [thing for kind in ALL if can_be_asked(kind) for thing in _of(kind)]
    usual = {each.key for each in USUAL}
    return [each for each in found if each.key not in usual]


def can_be_asked(kind: Kind) -> bool:
    """Whether a plan's editor offers it: care and readings that have a tile."""
    return bool(kind.tiles) and (kind.draw in (Draw.DOINGS, Draw.READINGS) or kind.is_described_daily)


def _of(kind: Kind) -> Iterator[Thing]:
    device = kind.field("device")
    if device is None or not isinstance(device.type, Choice):
        yield Thing(kind.name)
        return
    rhythms = SELDOM if kind.name == EQUIPMENT_CHECK.name else OFTEN
    for option in device.type.options:
        yield Thing(kind.name, {"device": option.value}, rhythms)
