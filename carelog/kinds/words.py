"""Fields and choices that several kinds share."""

from carelog.domain.either import ChoiceOrText
from carelog.domain.field import Choice, Date, Field, ListOf, Number, choice
from carelog.text import mark

PRESSURE_UNIT: Choice = choice(("cmH2O", "cmH2O"), ("mmHg", "mmHg"), ("kPa", "kPa"))
VACUUM_UNIT: Choice = choice(("kPa", "kPa"), ("mmHg", "mmHg"))
CUFF: Choice = choice(
    ("none", mark("none")), ("air", mark("air")), ("water", mark("water")), ("foam", mark("foam"))
)
ITEM: Choice = choice(
    ("spare_same", mark("spare tube, same size")),
    ("spare_smaller", mark("spare tube, smaller")),
    ("inner_tubes", mark("inner tubes")),
    ("syringe", mark("10 mL syringe")),
    ("ties", mark("ties")),
    ("dressing", mark("dressing")),
    ("mask", mark("small face mask")),
    ("gel", mark("water-based gel")),
    ("gloves", mark("gloves")),
    ("scissors", mark("round-ended scissors")),
    ("catheters", mark("suction catheters")),
    ("tube_details", mark("tube details")),
    ("portable_suction", mark("portable suction")),
    ("contacts", mark("contacts")),
)
ITEMS = ListOf(ITEM)
ITEMS_OR_LINES = ListOf(ChoiceOrText(ITEM))
"""Item keys of the box, or lines of the household's own list."""
EXPIRY = Date(month=True)


def vacuum_fields(limit: str = "") -> tuple[Field, Field]:
    """A vacuum and its unit; `limit`: the limit in the plan that it is held against."""
    return (
        Field("vacuum", mark("vacuum"), Number(unit_field="vacuum_unit", limit=limit)),
        Field("vacuum_unit", mark("Unit of the vacuum"), VACUUM_UNIT),
    )
