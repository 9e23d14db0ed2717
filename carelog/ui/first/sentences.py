"""The sentences of a first plan: what is asked for each, and what an adult's answer may begin with.

What is proposed and its source are those of the plan's own page; for the inner tube the published intervals
disagree, which stands beside the proposal. Under 18, or without a birth date, nothing is proposed.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any

from carelog.analysis.limits import CUFF, TEMPERATURE, VACUUM
from carelog.domain.entry import Details
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.stoma import STOMA
from carelog.kinds.ties import TIES
from carelog.text import mark
from carelog.ui.plan.defaults import DEFAULTS, INNER, Default

if TYPE_CHECKING:
    from carelog.app.outlook import Picture


class Sort(Enum):
    """What an answer is."""

    WHO = "who"
    RHYTHM = "rhythm"
    LIMIT = "limit"
    QUIET = "quiet"
    VALUE = "value"


def _always(_tube: Details) -> bool:
    return True


def _has_inner(tube: Details) -> bool:
    return bool(tube.get("inner_tube") != "none")


def _has_air_cuff(tube: Details) -> bool:
    return bool(tube.get("cuff", "air") == "air")


@dataclass(frozen=True, slots=True)
class PlanSentence:
    """One sentence of the plan."""

    name: str
    asks: str
    sort: Sort
    task: Mapping[str, Any] = field(default_factory=dict)
    limit: str = ""
    field: str = ""
    proposed: Default | None = None
    told: str = ""
    suits: Callable[[Details], bool] = _always
    """Whether it is asked, by the tube in place."""


def _default(name: str) -> Default:
    return next(each for each in DEFAULTS if each.name == name)


SENTENCES = (
    PlanSentence("set_by", mark("Who gave you the plan?"), Sort.WHO),
    PlanSentence(
        "quiet", mark("Is there a time of night when nothing is asked for?"), Sort.QUIET, field="quiet"
    ),
    PlanSentence(
        "inner",
        mark("How often is the inner tube looked at and cleaned?"),
        Sort.RHYTHM,
        {"kind": INNER_TUBE.name},
        proposed=INNER,
        suits=_has_inner,
    ),
    PlanSentence(
        "cuff_limits",
        mark("Between which numbers is the cuff pressure kept?"),
        Sort.LIMIT,
        limit=CUFF,
        proposed=_default("cuff_limits"),
        told=mark("Take the unit from the letter too. In a wrong unit the same number is wrong."),
        suits=_has_air_cuff,
    ),
    PlanSentence(
        "cuff_check",
        mark("How often is the cuff pressure checked?"),
        Sort.RHYTHM,
        {"kind": CUFF_PRESSURE.name},
        proposed=_default("cuff_check"),
        suits=_has_air_cuff,
    ),
    PlanSentence(
        "stoma",
        mark("How often is the stoma cleaned and looked at?"),
        Sort.RHYTHM,
        {"kind": STOMA.name},
        proposed=_default("stoma"),
    ),
    PlanSentence(
        "ties",
        mark("How often are the ties looked at?"),
        Sort.RHYTHM,
        {"kind": TIES.name},
        proposed=_default("ties"),
    ),
    PlanSentence(
        "hme",
        mark("How often is the HME changed?"),
        Sort.RHYTHM,
        {"kind": HUMIDITY.name, "where": {"device": "hme"}},
        proposed=_default("hme"),
    ),
    PlanSentence(
        "nebuliser",
        mark("How often is the nebuliser used?"),
        Sort.RHYTHM,
        {"kind": HUMIDITY.name, "where": {"device": "nebuliser"}},
    ),
    PlanSentence(
        "catheter",
        mark("Which size of suction catheter?"),
        Sort.VALUE,
        field="catheter_fr",
        told=mark("In Fr, also written Ch or F. It stands in the letter and on the catheter's wrapper."),
    ),
    PlanSentence(
        "vacuum",
        mark("How strong may the suction be at most?"),
        Sort.LIMIT,
        limit=VACUUM,
        proposed=_default("vacuum"),
    ),
    PlanSentence(
        "spo2",
        mark("From which SpO2 down do you call?"),
        Sort.LIMIT,
        limit="spo2_percent",
        told=mark(
            "Oxygen in the blood, as a finger clip shows it. Only the letter or the team can say this."
        ),
    ),
    PlanSentence(
        "temperature",
        mark("From which temperature on do you call?"),
        Sort.LIMIT,
        limit=TEMPERATURE,
        proposed=_default("temperature"),
    ),
    PlanSentence(
        "box",
        mark("How often is the spare-tube box checked?"),
        Sort.RHYTHM,
        {"kind": BOX_CHECK.name},
        proposed=_default("box"),
    ),
    PlanSentence(
        "machine",
        mark("How often is the suction machine checked?"),
        Sort.RHYTHM,
        {"kind": EQUIPMENT_CHECK.name, "where": {"device": "suction_machine"}},
        proposed=_default("machine"),
    ),
    PlanSentence(
        "instructions",
        mark("What else does the letter say?"),
        Sort.VALUE,
        field="instructions",
        told=mark("Such as how deep to suction, or that two people have to be there for a tube change."),
    ),
)
"""In the order in which they are asked."""


def sentences_for(picture: "Picture") -> tuple[PlanSentence, ...]:
    """Those that suit the tube in place; while it isn't recorded, all of them."""
    tube = picture.tube.entry.details if picture.tube is not None else {}
    return tuple(each for each in SENTENCES if each.suits(tube))
