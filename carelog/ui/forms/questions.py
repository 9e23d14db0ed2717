"""What a form asks about once more before it saves: a value far from the usual, an answer left open."""

from collections.abc import Mapping

from carelog.domain.entry import Json
from carelog.domain.field import Field, Number
from carelog.domain.kind import Kind
from carelog.domain.moment import MINUTE, Instant, Moment
from carelog.domain.units import PASCAL, pressure
from carelog.text import say
from carelog.ui.forms.labels import label

AHEAD = 5 * MINUTE


def questions(kind: Kind, details: Mapping[str, Json], at: Moment, now: Instant) -> list[str]:
    """One sentence for each thing that looks odd; empty when there is nothing to ask."""
    found = [odd for field in kind.fields if field.name in details and (odd := _odd(field, details))]
    if at.instant > now + AHEAD:
        found.append(say("The time hasn't come yet. Save again to record it as it stands."))
    wanted = kind.needs_answer
    if wanted and wanted.given.items() <= details.items() and wanted.field not in details:
        found.append(say(wanted.words))
    return found


def _odd(field: Field, details: Mapping[str, Json]) -> str:
    kind, value = field.type, details[field.name]
    if not isinstance(kind, Number) or isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    unit = str(details.get(kind.unit_field, "")) if kind.unit_field else kind.unit
    compared = pressure(value, unit, "cmH2O") if kind.unit_field and unit in PASCAL else value
    is_low = kind.ask_below is not None and compared < kind.ask_below
    is_high = kind.ask_above is not None and compared > kind.ask_above
    if not (is_low or is_high):
        return ""
    return say("{label}: {value} is unusual. Is it right? Save again to record it as typed.").format(
        label=label(field), value=f"{kind.words(value)}{unit if kind.unit_field else ''}"
    )
