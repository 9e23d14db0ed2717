"""All sheets; adding one is one module and one line here."""

from carelog.domain.trouble import WrongUse
from carelog.sheet.blank import BLANK
from carelog.sheet.card import CARD
from carelog.sheet.course import COURSE
from carelog.sheet.day import DAY
from carelog.sheet.declaration import Declaration
from carelog.sheet.handover import HANDOVER
from carelog.sheet.home import HOME
from carelog.sheet.order import ORDER
from carelog.sheet.plan import PLAN_SHEET
from carelog.sheet.week import WEEK
from carelog.text import mark, say

SHEETS: tuple[Declaration, ...] = (WEEK, DAY, COURSE, HANDOVER, BLANK, CARD, ORDER, HOME, PLAN_SHEET)

_UNKNOWN = mark("There is no sheet “{name}”; there are {names}.")


def sheet_named(name: str) -> Declaration:
    """The sheet of that name; `WrongUse` for one that isn't there."""
    found = next((each for each in SHEETS if each.name == name), None)
    if found is not None:
        return found
    raise WrongUse(say(_UNKNOWN).format(name=name[:40], names=", ".join(each.name for each in SHEETS)))
