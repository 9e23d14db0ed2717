"""The quick choices after a press: those of the kind, fitted to this person and to this moment."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import timedelta

from carelog.analysis.in_force import Held
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Details, Json
from carelog.domain.field import Choice
from carelog.domain.kind import Kind, Pick
from carelog.domain.moment import Home, Instant

ENOUGH = 5  # entries that give a field, from which on its usual value is known


def quick_picks(kind: Kind, newest: Sequence[Held]) -> tuple[Pick, ...]:
    """The kind's choices, in their order, by the newest entries of it.

    Of each field the value that is most often given for this person is among them, in place of the first
    that was declared: the others stay, since what is unlike the usual has to be as near as the usual is.
    """
    fields = dict.fromkeys(pick.field for pick in kind.picks)
    return (*kind.rare_picks, *(pick for name in fields for pick in _of_field(kind, name, newest)))


def _of_field(kind: Kind, name: str, newest: Sequence[Held]) -> list[Pick]:
    declared = [pick for pick in kind.picks if pick.field == name]
    usual = _usual(held.entry.details.get(name) for held in newest)
    each = kind.field(name)
    if usual is None or each is None or not isinstance(each.type, Choice):
        return declared
    if usual in [pick.value for pick in declared]:
        return declared
    order = [option.value for option in each.type.options]
    if usual not in order:
        return declared
    return sorted([Pick(name, usual), *declared[1:]], key=lambda pick: order.index(pick.value))


def _usual(given: Iterable[Json]) -> Json:
    """The value that is given most often, of several the first; None: too few give one."""
    counted = Counter(value for value in given if isinstance(value, str))
    return counted.most_common(1)[0][0] if counted.total() >= ENOUGH else None


def asked_yesterday(
    dues: Iterable[Due], kind: str, details: Details, home: Home, now: Instant
) -> Instant | None:
    """When yesterday the plan asked for what a press records, if nobody has recorded it since; else None."""
    yesterday = home.day(now) - timedelta(days=1)
    found = (
        due.due_at
        for due in dues
        if due.kind == kind and due.state is DueState.LATE and due.where.items() <= details.items()
    )
    return next((due_at for due_at in found if home.day(due_at) == yesterday), None)
