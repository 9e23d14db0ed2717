"""The spare-tube box: its newest check held against the tube in place.

Contents: SickKids family pages and St George's emergency equipment (FOUND); the smaller spare's step, and a
cuffed spare for a tube without a cuff: common practice, no source.
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from carelog.analysis.in_force import Held, order_of
from carelog.domain.entry import Details
from carelog.domain.plan import Plan
from carelog.domain.units import exact
from carelog.kinds.words import ITEM

SPARES = ("spare_same", "spare_smaller")
ONLY_IF_LISTED = ("portable_suction", "contacts")
EXPIRING_DAYS = 30
SMALLEST = exact(2.5)
"""mm: of the smallest tube there is no smaller spare; the plan says what then, so none is asked for."""


@dataclass(frozen=True, slots=True)
class Box:
    """What the newest check says of the box; lists of item keys, sorted."""

    complete: bool
    missing: tuple[str, ...] = ()
    opened: tuple[str, ...] = ()
    expired: tuple[str, ...] = ()
    expiring: tuple[str, ...] = ()
    wrong_size: tuple[str, ...] = ()
    check: Held | None = None


def last_day(expiry: str) -> date:
    """The last good day of an expiry; a month is good to its end."""
    if len(expiry) > len("2026-11"):
        return date.fromisoformat(expiry)
    year, month = int(expiry[:4]), int(expiry[5:])
    return date(year, month, monthrange(year, month)[1])


def expiries(check: Details) -> dict[str, date]:
    """The last good day of each item that the check dates; of two dates of one item the earlier."""
    found = {item: last_day(text) for item, text in check.get("expiries", {}).items()}
    for item in SPARES:
        text = check.get(item, {}).get("expiry")
        if text is not None:
            found[item] = min(last_day(text), found.get(item, date.max))
    return found


def missing(check: Details, tube: Details | None) -> set[str]:
    """Items listed as missing, or in no list and with no spare's details, where they are needed."""
    listed = {item for name in ("present", "opened") for item in check.get(name, [])}
    listed |= {item for item in SPARES if check.get(item)}
    needed = {str(option.value) for option in ITEM.options} - set(ONLY_IF_LISTED)
    cuffs = [each.get("cuff", "none") for each in (tube or {}, *(check.get(item, {}) for item in SPARES))]
    if all(cuff == "none" for cuff in cuffs):
        needed.discard("syringe")
    if tube is None or tube["inner_tube"] == "none":
        needed.discard("inner_tubes")
    if tube is not None and exact(tube["id_mm"]) <= SMALLEST:
        needed.discard("spare_smaller")
    return (needed - listed) | set(check.get("missing", []))


def wrong_size(check: Details, tube: Details, step: Fraction, cuffed_spare: bool) -> set[str]:
    """The spares that don't fit the tube in place; one without its size is taken at its word."""
    same, smaller = (check.get(item, {}) for item in SPARES)
    found = set()
    if "id_mm" in same and exact(same["id_mm"]) != exact(tube["id_mm"]):
        found.add("spare_same")
    if tube["cuff"] != "none" and same.get("cuff", tube["cuff"]) != tube["cuff"]:
        found.add("spare_same")
    if "id_mm" in smaller and not _is_smaller(exact(smaller["id_mm"]), exact(tube["id_mm"]), step):
        found.add("spare_smaller")
    if tube["cuff"] == "none" and cuffed_spare and same.get("cuff") == smaller.get("cuff") == "none":
        found.add("spare_smaller")
    return found


def _is_smaller(spare: Fraction, tube: Fraction, step: Fraction) -> bool:
    if tube <= SMALLEST:
        return spare <= tube
    return spare < tube and tube - spare >= step


def asks_for_cuffed_spare(plan: Plan | None, is_adult: bool | None) -> bool:
    """Whether one spare of a tube without a cuff must have one: as the plan says, else for an adult only."""
    return bool(plan.details.get("cuffed_spare", is_adult) if plan is not None else is_adult)


def box(check: Held | None, tube: Held | None, plan: Plan | None, today: date, is_adult: bool | None) -> Box:
    """The box on a home-zone day, by its newest check, the tube in place and the plan.

    `is_adult` None: the day of birth isn't recorded.
    """
    if check is None:
        return Box(complete=False)
    details = check.entry.details
    placed = tube.entry.details if tube is not None else None
    step = exact(plan.number("spare_step_mm", 0)) if plan is not None else Fraction(0)
    cuffed = asks_for_cuffed_spare(plan, is_adult)
    gone = missing(details, placed)
    dates = expiries(details)
    expired = {item for item, last in dates.items() if today > last}
    near = {item for item, last in dates.items() if 0 <= (last - today).days <= EXPIRING_DAYS}
    wrong = wrong_size(details, placed, step, cuffed) if placed is not None else set()
    opened = set(details.get("opened", []))
    is_current = tube is not None and order_of(check) > order_of(tube)
    return Box(
        complete=is_current and not (gone or opened or expired or wrong),
        missing=tuple(sorted(gone)),
        opened=tuple(sorted(opened)),
        expired=tuple(sorted(expired)),
        expiring=tuple(sorted(near)),
        wrong_size=tuple(sorted(wrong - gone)),
        check=check,
    )
