"""What the program may offer for an adult's first plan, each with its published source; none for others.

Every default is editable, belongs to the person's own plan, and the plan wins. Where sources disagree the
more cautious value is offered and the disagreement stands beside it.
"""

from dataclasses import dataclass
from typing import Any

from carelog.analysis.limits import (
    COLD,
    CUFF,
    CUFF_TARGET,
    FEVER,
    TEMPERATURE,
    VACUUM,
    VACUUM_MOST,
    limit_of,
    range_words,
)
from carelog.domain.entry import Details
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.stoma import STOMA
from carelog.kinds.ties import TIES
from carelog.text import mark, say


@dataclass(frozen=True, slots=True)
class Default:
    """One offer: its words, what it puts into the plan, and where it comes from."""

    name: str
    words: str
    puts: dict[str, Any]
    source: str

    def said(self) -> str:
        """The words of the offer, with the limit it puts into the plan."""
        limits: dict[str, Details] = self.puts.get("limits", {})
        found = [limit_of(name, given) for name, given in limits.items()]
        return say(self.words).format(range=" ".join(range_words(each) for each in found if each))


DEFAULTS = (
    Default(
        "cuff_limits",
        mark("Cuff pressure {range}"),
        {"limits": {CUFF: CUFF_TARGET}},
        mark(
            "Adult range in reviews: PMC5804330; Kim et al., Ann Rehabil Med 2020;44(5). Other published "
            "floors are 14 and 15, a tighter target is 20 to 25. The floor is disputed, the ceiling is not."
        ),
    ),
    Default(
        "cuff_check",
        mark("Cuff pressure checked every 12 h while the cuff is up"),
        {"tasks": [{"kind": CUFF_PRESSURE.name, "every_h": 12}]},
        mark("Twice a day is usual in ward guidance."),
    ),
    Default(
        "stoma",
        mark("Stoma cleaned and looked at every 24 h"),
        {"tasks": [{"kind": STOMA.name, "every_h": 24}]},
        mark("Johns Hopkins Medicine patient pages: at least daily; every 12 h is widely advised."),
    ),
    Default(
        "ties",
        mark("Ties looked at every 24 h"),
        {"tasks": [{"kind": TIES.name, "every_h": 24}]},
        mark("University of Iowa; Nepalese Society of Critical Care Medicine protocol."),
    ),
    Default(
        "hme",
        mark("HME (heat and moisture exchanger) changed every 24 h"),
        {"tasks": [{"kind": HUMIDITY.name, "where": {"device": "hme"}, "every_h": 24}]},
        mark("St George's University Hospitals tracheostomy guidelines: 24 h, or sooner if soiled."),
    ),
    Default(
        "vacuum",
        mark("Vacuum {range}"),
        {"limits": {VACUUM: {"high": VACUUM_MOST["kPa"], "unit": "kPa"}}},
        mark("AARC 2010, seen quoted; AARC 2022 says below 200 mmHg. The stricter one is offered."),
    ),
    Default(
        "temperature",
        mark("Temperature {range}"),
        {"limits": {TEMPERATURE: {"low": COLD, "high": FEVER}}},
        mark("Common practice, no source."),
    ),
    Default(
        "box",
        mark("Spare-tube box checked every 24 h"),
        {"tasks": [{"kind": BOX_CHECK.name, "every_h": 24}]},
        mark("SickKids family pages: each start of day or shift, and before every outing."),
    ),
    Default(
        "machine",
        mark("Suction machine checked every 24 h"),
        {"tasks": [{"kind": EQUIPMENT_CHECK.name, "where": {"device": "suction_machine"}, "every_h": 24}]},
        mark("SickKids family pages for the canister; the rest is common practice, no source."),
    ),
)
INNER = Default(
    "inner",
    mark("Inner tube looked at, and cleaned if needed, every 8 h"),
    {"tasks": [{"kind": INNER_TUBE.name, "every_h": 8}]},
    mark(
        "The sources disagree. 8 h: All Wales critical-care education. As you wake and as you go to bed: a "
        "leaflet of South Tees Hospitals. 2 h, if there is much: Royal Marsden Manual."
    ),
)
"""Never silent, and not among the others: what is published of the inner tube disagrees."""
