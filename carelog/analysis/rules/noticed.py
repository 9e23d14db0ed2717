"""The rules by statistics as declared rows; their code is `analysis.usual`."""

from carelog.analysis.rules.rule import EMERGENCY, Rule, Source, Status
from carelog.text import mark

_SUMS = Source(mark("sums of evidence (Page 1954, Lorden 1971), tried on made-up people only"), Status.FOUND)
_CLEARS = mark("The last 48 h lie in the usual range again. Or a plan or a new tube makes it begin anew.")


def _noticed(name: str, title: str, raised: str, level: str, after: str = "") -> Rule:
    return Rule(
        name=name,
        title=title,
        raised=raised,
        level=level,
        clears=_CLEARS,
        sources=(_SUMS,),
        after=after,
        by_statistics=True,
    )


NOTICED: tuple[Rule, ...] = (
    _noticed(
        "suction_more",
        mark("More suctions than usual"),
        mark("There are more suctions than is usual for this person at that time of day."),
        mark("call; note for a slow rise over weeks"),
    ),
    _noticed(
        "suction_less",
        mark("Fewer suctions than usual"),
        mark("There are fewer suctions than usual, while other care was written down. Is one missing?"),
        mark("note"),
    ),
    _noticed(
        "secretions_thicker",
        mark("Secretions thicker than usual"),
        mark("More of them are thick than is usual for this person and for who rates them."),
        mark("call"),
    ),
    _noticed(
        "secretions_colour",
        mark("Another colour than usual"),
        mark("More of them are yellow, green, brown or with blood than is usual for this person."),
        mark("call"),
    ),
    _noticed(
        "secretions_amount",
        mark("Larger amounts than usual"),
        mark("More of them are large than is usual for this person and for who rates them."),
        mark("call"),
    ),
    _noticed(
        "spo2_falling",
        mark("SpO2 lower than usual"),
        mark("SpO2 comes down over days from what is usual for this person. Read at least once a day."),
        mark("call"),
        EMERGENCY,
    ),
    _noticed(
        "pulse_rising",
        mark("Pulse faster than usual"),
        mark("The pulse goes up over days from what is usual for this person. Read at least once a day."),
        mark("call"),
        EMERGENCY,
    ),
)
